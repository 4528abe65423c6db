// SPDX-License-Identifier: Apache-2.0
// Two judgements of the same things: first look and second look, person and camera. Things of one
// unit go together, and each may stand for more than itself.
#pragma once

#include <string>
#include <vector>

#include "analytics/bootstrap.h"
#include "analytics/kappa.h"
#include "analytics/result.h"

namespace lastlook::analytics {

struct JudgedTwice {
  std::string unit;
  std::size_t a = 0;  // category of the one, from 0
  std::size_t b = 0;  // of the other
  double weight = 1;  // how many things it stands for, above 0
};

struct TwoJudgements {
  Matrix counts;     // rows: a, columns: b
  Matrix weighted;   // the same, each by its weight
  double units = 0;  // sum of the weights
  Result<double> alike;
  Result<Interval> alike_limits;
  Result<double> kappa;
  Result<Interval> limits;
};

// Definition: share of the weights on which both say the same, and Cohen's kappa of the table of
//   weights: with weights of 1 / probability an estimate of what it is over everything that could
//   have been drawn.
// Divisor: sum of the weights.
// Least n: 1; 3 units for limits.
// Edges: nothing judged -> refused; both say one and the same throughout -> no kappa, with the
//   reason (0/0); perfect agreement -> no limits, with the reason.
// Interval method: BCa, units resampled with all that belongs to them; those of all weights
//   together, for where each unit is drawn by a lot of its own it is chance too how many of each
//   kind are. (Apart, the limits held the true kappa in 0.82 to 0.92 of simulations, together in
//   0.95 to 0.98: bench coverage_of_judgements_by_rates.)
// Source: Cohen (1960); Horvitz & Thompson (1952) JASA 47:663; see bootstrap.h.
TwoJudgements two_judgements(const std::vector<JudgedTwice>& judged, std::size_t categories,
                             const BootstrapOptions& options = {});

// The same without limits, for those who know better ones.
TwoJudgements judged_without_limits(const std::vector<JudgedTwice>& judged, std::size_t categories);

}  // namespace lastlook::analytics
