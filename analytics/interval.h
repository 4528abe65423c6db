// SPDX-License-Identifier: Apache-2.0
// Intervals for a proportion, for a count and for the difference of two proportions.
//
// Every function here: confidence lies in (0, 1) and is two-sided unless the name says otherwise.
// What cannot be computed (no units, more hits than units) is Category::bad_input.
#pragma once

#include <cstdint>

#include "analytics/result.h"

namespace lastlook::analytics {

inline constexpr double kConfidence = 0.95;

struct Interval {
  double low = 0;
  double high = 0;
};

enum class BinomialMethod {
  wilson,            // score; the default for yields
  clopper_pearson,   // exact; for rates that must not be flattered
  wald,              // textbook, for comparison only
  wald_corrected,    // with continuity correction
  wilson_corrected,  // with continuity correction
  mid_p,             // exact tail with half of the observed point's probability
  likelihood,        // where twice the drop of log-likelihood is z squared
  agresti_coull,     // Wald after adding z squared pseudo-units
  jeffreys,          // beta(1/2, 1/2) prior, equal tails
};

// Definition: limits of the probability p behind `hits` in `units`.
// Divisor: units.
// Least n: 1 unit.
// Edges: no units or hits outside [0, units] -> bad_input; none or all hit -> the limit on that
//   side is 0 or 1 (Jeffreys excepted: as the posterior says); limits are cut to [0, 1].
// Interval method: as named by `method`.
// Source: Newcombe (1998) Stat Med 17:857-872, methods 1 to 7; Agresti & Coull (1998) Am Stat
//   52:119; Brown, Cai & DasGupta (2001) Stat Sci 16:101 for Jeffreys.
Result<Interval> binomial_interval(std::int64_t hits, std::int64_t units,
                                   BinomialMethod method = BinomialMethod::wilson,
                                   double confidence = kConfidence);

// Definition: exact limits where each unit may count in part, as an item does whose repeats differ;
//   the Clopper-Pearson beta quantiles at real numbers. Equal to clopper_pearson at whole numbers.
// Divisor: units.
// Least n: above 0.
// Edges: as binomial_interval().
// Interval method: exact (Clopper-Pearson).
// Source: Clopper & Pearson (1934) Biometrika 26:404; real arguments as in Korn & Graubard (1998)
//   Survey Methodology 24:193.
Result<Interval> exact_interval(double hits, double units, double confidence = kConfidence);

// Definition: exact upper limit that p stays below with this (one-sided) confidence.
// Divisor: units.
// Least n: 1.
// Edges: all hit -> 1.
// Interval method: exact (Clopper-Pearson).
// Source: as above.
Result<double> exact_upper_limit(std::int64_t hits, std::int64_t units,
                                 double confidence = kConfidence);

// Definition: limits of the mean behind a Poisson count.
// Divisor: none.
// Least n: a count of 0.
// Edges: count 0 -> low is 0; below 0 -> bad_input.
// Interval method: exact.
// Source: Garwood (1936) Biometrika 28:437.
Result<Interval> poisson_interval(std::int64_t count, double confidence = kConfidence);

enum class DifferenceMethod {
  newcombe,            // hybrid of two Wilson intervals; the default
  newcombe_corrected,  // hybrid of two Wilson intervals with continuity correction
  wald,
  wald_corrected,
  agresti_caffo,  // Wald after adding one hit and one miss to each
};

struct Share {
  std::int64_t hits = 0;
  std::int64_t units = 0;
};

// Definition: limits of p_a - p_b for two independent samples.
// Divisor: each sample's units.
// Least n: 1 unit each.
// Edges: as binomial_interval(); limits are cut to [-1, 1].
// Interval method: as named by `method`.
// Source: Newcombe (1998) Stat Med 17:873-890, methods 1, 2, 10, 11; Agresti & Caffo (2000) Am Stat
//   54:280-288.
Result<Interval> difference_interval(Share a, Share b,
                                     DifferenceMethod method = DifferenceMethod::newcombe,
                                     double confidence = kConfidence);

// z with this much probability between -z and z.
double two_sided_z(double confidence);

}  // namespace lastlook::analytics
