// SPDX-License-Identifier: Apache-2.0
// Intervals by resampling units: what the number would have been with other units of the same kind.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <vector>

#include "analytics/interval.h"
#include "analytics/result.h"

namespace lastlook::analytics {

struct BootstrapOptions {
  int resamples = 2000;
  std::uint64_t seed = 1;
  double confidence = kConfidence;
  unsigned threads = 0;  // 0: as many as the machine has; the result does not depend on it
};

// How often each unit is in a resample. The statistic of it, or nothing where it is not defined.
// Called from several threads at once.
using Statistic = std::function<std::optional<double>(const std::vector<std::uint32_t>& times)>;

// Definition: bias-corrected and accelerated (BCa) interval over `units` drawn with replacement;
// the
//   acceleration from leaving out one unit at a time; quantiles of the resamples by linear
//   interpolation.
// Divisor: none. Least n: 3 units.
// Edges: fewer units, fewer than 100 resamples -> bad_input; a statistic that is not defined, that
// is not
//   defined for more than one in twenty resamples, or that never changes (perfect agreement) ->
//   refused.
// Interval method: BCa. Source: Efron (1987) JASA 82:171; Efron & Tibshirani (1993) ch. 14.
// The same seed gives the same interval on every machine and with any number of threads.
Result<Interval> bca_interval(std::size_t units, const Statistic& statistic,
                              const BootstrapOptions& options = {});

}  // namespace lastlook::analytics
