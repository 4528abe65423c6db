// SPDX-License-Identifier: Apache-2.0
// Runs of points that chance seldom makes, chosen by the question they answer, and what they cost
// in false alarms.
//
// Source of the rules: Western Electric, Statistical Quality Control Handbook (1956); ISO 7870-2
// for seven successive rises or falls (from memory). Counts of a run include its last point. A
// point on the centre, or exactly on a border, is on neither side.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "analytics/result.h"

namespace lastlook::analytics {

inline constexpr std::size_t kStepsOneWay = 7;     // rises or falls
inline constexpr std::size_t kTurningPoints = 14;  // up and down by turns
inline constexpr std::size_t kMixedPoints = 8;     // off the middle, on both sides

enum class Question {
  jump,   // 2 of 3 in a row beyond two sigmas on one side
  drift,  // 8 in a row on one side; 4 of 5 beyond one sigma on one side; 7 steps in one direction
  cycle,  // 14 steps up and down by turns; 8 in a row beyond one sigma on both sides
};

struct RunSignal {
  std::size_t point = 0;  // where the rule is met
  std::size_t first = 0;  // where its run begins
  std::string reason;
};

// Definition: the points at which a rule of these questions is met, from distances to the centre in
//   sigmas. A point without a distance breaks every run, and so does each index in `breaks`, where
//   a new phase begins. A rule that stays met signals at each further point.
// Divisor: none.
// Least n: the length of the rule.
// Edges: none of the rules is met by constant points on the centre; a point exactly on a border is
//   not beyond it, and one exactly on the centre is on no side.
// Interval method: none; see rule_price.h for what a rule costs.
// Source: Western Electric, Statistical Quality Control Handbook (1956); ISO 7870-2 (from memory).
std::vector<RunSignal> find_runs(const std::vector<std::optional<double>>& z,
                                 const std::vector<Question>& questions,
                                 const std::vector<std::size_t>& breaks = {});

}  // namespace lastlook::analytics
