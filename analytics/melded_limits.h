// SPDX-License-Identifier: Apache-2.0
// Limits of a number that is made of shares from two samples, from what each sample alone leaves
// open: kinds that were not seen stay possible, which no resampling of what was seen can show.
#pragma once

#include <functional>

#include "analytics/bootstrap.h"
#include "analytics/interval.h"

namespace lastlook::analytics {

// What a sample saw of its part of a whole. Units that count by unequal weights are worth fewer of
// equal ones, so no count here need be whole.
struct SampledPart {
  double hits = 0;    // of `units`
  double units = 0;   // that the share of hits is worth, above 0
  double drawn = 0;   // that the size of the part is worth, above 0
  double weight = 1;  // what each of the drawn stands for
};

// Shares of hits in both parts, each 0 to 1, and how much of the whole the second is, within (0,
// 1). It must fall, or stay, as either share of hits rises.
using OfTwoParts = std::function<double(double first, double second, double size_of_second)>;

// Definition: the lower limit is a quantile of the number over draws of both shares from the
//   distributions whose quantiles are the exact upper limits of each, beta(hits + 1, units - hits);
//   the upper one over draws from beta(hits, units - hits + 1). Sizes of the parts are drawn from
//   gamma(drawn + 1/2) times weight in both.
// Divisor: none.
// Least n: one unit in each part.
// Edges: no hit -> that share is 0 in all draws for the upper limit.
// Interval method: melding. `options`: as many draws as resamples, its seed and confidence.
// Source: Fay, Proschan & Brittain (2015) Biometrics 71:146 (melding of exact limits); Korn &
//   Graubard (1998) Survey Methodology 24:193 (exact limits at real counts); Fay & Feuer (1997)
//   Stat Med 16:791 (gamma for weighted counts). Gamma draws: Marsaglia & Tsang (2000) ACM TOMS
//   26:363. All from memory.
Interval melded_limits(const SampledPart& first, const SampledPart& second,
                       const OfTwoParts& number, const BootstrapOptions& options = {});

}  // namespace lastlook::analytics
