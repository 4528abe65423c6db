// SPDX-License-Identifier: Apache-2.0
// What blind second looks prove about the first: how many nonconforming units were let pass, and
// how far both looks agree over all units that could be drawn, not only over those that were.
#pragma once

#include <string>
#include <vector>

#include "analytics/interval.h"
#include "analytics/result.h"
#include "analytics/two_judgements.h"

namespace lastlook::analytics {

struct SecondLook {
  std::string period;  // day, week or shift; may be empty
  bool first_rejects = false;
  bool second_rejects = false;
  double probability = 1;  // with which this unit was drawn, above 0 and at most 1
};

struct Escapes {
  std::int64_t escapes = 0;   // accepted at first, rejected at the second look
  std::int64_t accepted = 0;  // accepted at first and looked at again
  Result<double> rate;
  Result<Interval> limits;
  Result<double> at_most;  // exact, one-sided at the same confidence
  // Of those looked at again; where they differ, each counts by 1 / probability.
  double least_probability = 1, most_probability = 1;
  bool weighed() const { return least_probability < most_probability; }
};

// Definition: share of accepted units looked at again that the second look rejects; drawn with
//   different probabilities, each by 1 / probability, for else the rate would be that of the times
//   when most were drawn.
// Divisor: accepted units looked at again, or the sum of their weights.
// Least n: 1 of them.
// Edges: none accepted -> refused; no escape never proves a rate of 0: see `at_most`. It takes the
//   second look as right. A probability outside (0, 1] -> bad_input.
// Interval method: exact (Clopper-Pearson); weighed, the same at the number of units of one weight
//   that the share is worth, as in weighted_agreement().
// Source: common practice in acceptance sampling; Korn & Graubard (1998) Survey Methodology 24:193.
Escapes escapes_of(const std::vector<SecondLook>& looks, double confidence = kConfidence);

// "3 of 50 accepted units rejected at the second look: 6.0 %; …", or why there is no rate. For the
// default confidence.
std::string in_a_sentence(const Escapes& escapes);

struct RunningEscapes {
  std::string period;
  Escapes alone;    // of this period
  Escapes running;  // of all periods up to this one
};

// Periods in the order of their first look.
std::vector<RunningEscapes> running_escapes(const std::vector<SecondLook>& looks,
                                            double confidence = kConfidence);

// Definition: share of units on which both looks say the same, and Cohen's kappa of first and
//   second look, accept 0 and reject 1, each unit by 1 / probability: an estimate of what they are
//   over all units that could have been drawn.
// Divisor: sum of the weights.
// Least n: one accepted and one rejected unit.
// Edges: a probability outside (0, 1] -> bad_input; no accepted or no rejected unit drawn ->
//   refused, for that part of the table is not known; no unit on which the looks differ -> kappa 1
//   with a lower limit below it.
// Interval method: melding of the exact limits of two shares, accepted units that the second look
//   rejects and rejected ones that it accepts. Unequal probabilities within one of both: the share
//   is worth so many units of one weight, by the smaller of Kish's count and that of its variance.
//   In simulations these limits held the true kappa in 0.97 to 0.99, where resampling the units
//   held it in 0.52 to 1: least where few escapes were drawn (bench coverage_weighted_kappa).
// Source: Horvitz & Thompson (1952) JASA 47:663; Cohen (1960); Kish (1965) Survey Sampling; Korn &
//   Graubard (1998); melded_limits.h.
TwoJudgements weighted_agreement(const std::vector<SecondLook>& looks,
                                 const BootstrapOptions& options = {});

}  // namespace lastlook::analytics
