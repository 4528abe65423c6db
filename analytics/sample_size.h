// SPDX-License-Identifier: Apache-2.0
// How many units a proof or a study needs.
#pragma once

#include <cstdint>
#include <vector>

#include "analytics/interval.h"
#include "analytics/result.h"

namespace lastlook::analytics {

// Definition: the smallest n such that, with at most `failures` in n, the true rate lies below
//   `rate` at this one-sided confidence: P(X <= failures; n, rate) <= 1 - confidence. Rounded up,
//   never down.
// Divisor: none.
// Least n: failures + 1.
// Edges: rate or confidence outside (0, 1), failures below 0, or more than 100 million units ->
//   bad_input.
// Interval method: exact binomial.
// Source: Clopper & Pearson (1934); MIL-HDBK-1823A for 29 and 59.
Result<std::int64_t> units_to_prove(double rate, double confidence = kConfidence,
                                    std::int64_t failures = 0);

struct KappaPlan {
  double kappa = 0.8;    // what the two are expected to reach
  double share_a = 0.5;  // of units that the first calls positive
  double share_b = 0.5;  // and the second
};

// Definition: n times the variance of Cohen's kappa of two raters on two categories, for the table
//   that these margins and this kappa determine.
// Divisor: none.
// Least n: none.
// Edges: a share outside (0, 1), or margins that cannot give this kappa -> bad_input.
// Interval method: none.
// Source: Fleiss, Cohen & Everitt (1969), as used by Cantor (1996).
Result<double> kappa_unit_variance(const KappaPlan& plan);

// Definition: units for an interval of kappa this far to either side: (z / half_width)^2 times the
//   unit variance, rounded up.
// Divisor: none.
// Least n: 2 units.
// Edges: as kappa_unit_variance(); half_width outside (0, 1) -> bad_input.
// Interval method: that of kappa_interval().
// Source: the large-sample error of Fleiss, Cohen & Everitt (1969).
Result<std::int64_t> units_for_kappa_width(const KappaPlan& plan, double half_width,
                                           double confidence = kConfidence);

// Definition: units for a one-sided test that kappa is above `against`, true at plan.kappa with
//   this power: ((z_confidence sqrt Q0 + z_power sqrt Q1) / (kappa - against))^2, rounded up.
// Divisor: none.
// Least n: 2 units.
// Edges: as above; kappa not above `against` -> bad_input.
// Interval method: none.
// Source: Cantor (1996) Psychol Methods 1:150.
Result<std::int64_t> units_for_kappa_test(const KappaPlan& plan, double against,
                                          double confidence = kConfidence, double power = 0.8);

// Definition: as units_for_kappa_test() for any number of categories, where both raters use them
//   with these shares: with the largest unit variance that the shares and the kappa leave possible,
//   for the whole table is not known before the study.
// Divisor: none.
// Least n: two categories.
// Edges: shares that do not add up to 1, or one not between 0 and 1 -> bad_input; a kappa that
//   these shares cannot give -> refused.
// Interval method: none.
// Source: Flack, Afifi, Lachenbruch & Schouten (1988) Psychometrika 53:321.
Result<std::int64_t> units_for_kappa_of_shares(const std::vector<double>& shares, double kappa,
                                               double against, double confidence = kConfidence,
                                               double power = 0.8);

// Definition: the smallest sample at which one point of a p chart with exact limits for `from` lies
//   above the upper limit with this probability when the rate has become `to`. The probability
//   rises in teeth: a slightly larger sample may again fall a little short.
// Divisor: none.
// Least n: 1 unit.
// Edges: not 0 < from < to < 1, power outside (0, 1), more than a million -> bad_input.
// Interval method: none.
// Source: the binomial; Montgomery, Introduction to Statistical Quality Control, on sample sizes.
Result<std::int64_t> sample_to_catch(double from, double to, double power = 0.8);

}  // namespace lastlook::analytics
