// SPDX-License-Identifier: Apache-2.0
// Rules on points beyond a border on one side, and the exact mean number of points until one of
// them speaks.
#pragma once

#include <cstdint>
#include <vector>

#include "analytics/result.h"
#include "analytics/run_rules.h"

namespace lastlook::analytics {

// `needed` of `of` points in a row beyond `border` sigmas on one side.
struct ZoneRule {
  std::size_t needed = 1;
  std::size_t of = 1;
  double border = 3;
};

// One point beyond three sigmas.
inline constexpr ZoneRule kBeyondLimit{1, 1, 3};

// The rules on borders that a question stands for.
std::vector<ZoneRule> zone_rules(Question question);

// What a point can be, and how probable that is.
struct Outcome {
  double z = 0;  // distance from the centre in sigmas
  double probability = 0;
  bool outside = false;  // beyond a limit that is not at three sigmas
};

// Points of a normal process whose mean has moved by `shift` sigmas, cut at the rules' borders.
std::vector<Outcome> normal_outcomes(const std::vector<ZoneRule>& rules, double shift = 0);
// Counts of n units at rate p, against limits made for the rate `centre`; where they spread over
// more than some thousand counts, cells of the normal distribution in their place.
std::vector<Outcome> binomial_outcomes(std::int64_t n, double p, double centre, bool exact_limits);
std::vector<Outcome> poisson_outcomes(double mean, double centre, bool exact_limits);

// Definition: mean number of independent points up to the first at which any rule is met, a point
//   outside included; from a fresh start. Exact: a Markov chain over the last points' places.
// Divisor: none.
// Least n: none.
// Edges: a rule that can never be met alone -> infinity; a chain of more than 4,000 states (many
//   long rules at once) -> refused.
// Interval method: none.
// Source: Champ & Woodall (1987) Technometrics 29:393-399.
Result<double> average_run_length(const std::vector<ZoneRule>& rules,
                                  const std::vector<Outcome>& outcomes);

}  // namespace lastlook::analytics
