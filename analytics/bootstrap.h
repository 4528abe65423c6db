// SPDX-License-Identifier: Apache-2.0
// Intervals by resampling units: what the number would have been with other units of the same kind.
//
// A statistic here is a function of sums over units: a mean is sum x / sum 1, a kappa a function of
// the cells of a table. So each unit is a row of numbers, a resample is the sum of the rows drawn,
// and one set of resamples serves every statistic of the same units.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <vector>

#include "analytics/interval.h"
#include "analytics/result.h"

namespace lastlook::analytics {

struct BootstrapOptions {
  int resamples = 2000;
  std::uint64_t seed = 1;
  double confidence = kConfidence;
  unsigned threads = 0;  // 0: as many as the machine has; the result does not depend on it
  // How many units each sample has, in the order of the units: each is resampled apart, as it was
  // drawn. Empty: all are one sample.
  std::vector<std::size_t> samples{};
};

// Of sums over units. Nothing where it is not defined.
using Statistic = std::function<std::optional<double>(std::span<const double> sums)>;

class Resamples {
 public:
  // `rows` holds the units one after another, `width` numbers each.
  Resamples(std::vector<double> rows, std::size_t width, const BootstrapOptions& options = {});

  // Definition: bias-corrected and accelerated (BCa) interval over the units drawn with
  //   replacement; the acceleration from leaving out one unit at a time; quantiles of the resamples
  //   by linear interpolation. Several samples: the influences of each, divided by its size (Efron
  //   & Tibshirani 14.36).
  // Divisor: none.
  // Least n: 3 units.
  // Edges: fewer units, fewer than 100 resamples -> bad_input; a statistic that is not defined,
  //   that is not defined for more than one in twenty resamples, or that never changes (perfect
  //   agreement) -> refused.
  // Interval method: BCa.
  // Source: Efron (1987) JASA 82:171; Efron & Tibshirani (1993) ch. 14. The same seed gives the
  //   same interval on every machine and with any number of threads.
  Result<Interval> bca(const Statistic& statistic) const;

  std::size_t units() const { return units_; }

 private:
  void draw(std::size_t first, std::size_t last);
  std::span<const double> sums(std::size_t resample) const {
    return {&sums_[resample * width_], width_};
  }
  std::vector<std::vector<double>> leave_one_out(const Statistic& statistic) const;

  BootstrapOptions options_;
  std::vector<double> rows_;
  std::size_t width_;
  std::size_t units_;
  std::vector<double> total_;  // of all units as they are
  std::vector<double> sums_;   // of each resample
};

}  // namespace lastlook::analytics
