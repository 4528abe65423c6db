// SPDX-License-Identifier: Apache-2.0
// Do raters differ in what they reject, and do their rankings agree?
#pragma once

#include <cstdint>
#include <vector>

#include "analytics/interval.h"
#include "analytics/result.h"

namespace lastlook::analytics {

struct McNemar {
  double chi_squared = 0;  // without continuity correction
  double p_value = 1;      // exact binomial, two-sided
  double difference = 0;   // of the two rejection rates
  double se = 0;           // of the difference
  Interval limits;         // difference +- z se
};

// Definition: two raters judge the same `n` units; b: the first alone says yes, c: the second
//   alone. Exact p: twice the smaller binomial tail of min(b, c) in b + c at 1/2, at most 1.
//   chi-squared (b - c)^2 / (b + c); difference (b - c) / n with its large-sample error.
// Divisor: n units for the difference.
// Least n: 1 unit.
// Edges: no unit, or b + c above n -> bad_input; b + c = 0 -> p 1, chi-squared 0, limits 0 to 0.
// Interval method: Wald for paired shares.
// Source: McNemar (1947) Psychometrika 12:153; Agresti (1990).
Result<McNemar> mcnemar(std::int64_t b, std::int64_t c, std::int64_t n,
                        double confidence = kConfidence);

struct ChiSquared {
  double value = 0;
  double degrees_of_freedom = 0;
  double p_value = 1;
};

// Definition: Cochran's Q: whether k raters say yes equally often on the same units.
//   `yes[unit][rater]`. Q = (k - 1) (k sum G_j^2 - T^2) / (k T - sum L_i^2).
// Divisor: none.
// Least n: 1 unit on which they differ, 2 raters.
// Edges: uneven rows -> bad_input; all raters alike on each unit -> refused (0/0).
// Interval method: none.
// Source: Cochran (1950) Biometrika 37:256.
Result<ChiSquared> cochran_q(const std::vector<std::vector<bool>>& yes);

struct Concordance {
  double w = 0;  // 0 none, 1 full
  ChiSquared test;
};

// Definition: Kendall's W of m raters who each rate n units on a scale, ties sharing their mean
//   rank and corrected for: W = 12 S / (m^2 (n^3 - n) - m sum T), T = sum (t^3 - t) of each rater's
//   ties.
// Divisor: as written.
// Least n: 2 raters, 2 units. `ratings[rater][unit]`.
// Edges: uneven rows -> bad_input; each rater gives one rating throughout -> refused.
// Interval method: none.
// Source: Kendall & Babington Smith (1939) Ann Math Stat 10:275; Siegel (1956).
Result<Concordance> kendall_w(const std::vector<std::vector<double>>& ratings);

// Definition: Kendall's tau-b: (concordant - discordant) / sqrt of pairs untied in x times pairs
//   untied in y.
// Divisor: as written.
// Least n: 2 units.
// Edges: different lengths -> bad_input; fewer than 2, or one of them constant -> refused.
// Interval method: none.
// Source: Kendall (1945) Biometrika 33:239; counted in n log n steps as by Knight (1966) JASA
//   61:436.
Result<double> kendall_tau_b(const std::vector<double>& x, const std::vector<double>& y);

}  // namespace lastlook::analytics
