// SPDX-License-Identifier: Apache-2.0
#include "analytics/melded_limits.h"

#include <algorithm>
#include <cmath>

#include "analytics/distributions.h"
#include "analytics/random_stream.h"

namespace lastlook::analytics {
namespace {

class Draws {
 public:
  Draws(std::uint64_t seed, std::uint64_t nth) : stream_(seed, nth) {}

  double gamma(double shape) {
    // Below 1 by way of one more.
    if (shape < 1) return gamma(shape + 1) * std::pow(uniform(), 1 / shape);
    const double d = shape - 1.0 / 3;
    const double c = 1 / std::sqrt(9 * d);
    for (;;) {
      const double z = normal_quantile(uniform());
      const double v = std::pow(1 + c * z, 3);
      if (v > 0 && std::log(uniform()) < z * z / 2 + d - d * v + d * std::log(v)) return d * v;
    }
  }

  // Where one of both is 0, all lies at that end.
  double beta(double a, double b) {
    if (a <= 0) return 0;
    if (b <= 0) return 1;
    const double x = gamma(a);
    return x / (x + gamma(b));
  }

 private:
  double uniform() { return (static_cast<double>(stream_.next() >> 11U) + 0.5) * 0x1p-53; }

  RandomStream stream_;
};

double above(const SampledPart& part, Draws& draws) {
  return draws.beta(part.hits + 1, part.units - part.hits);
}
double below(const SampledPart& part, Draws& draws) {
  return draws.beta(part.hits, part.units - part.hits + 1);
}
double size(const SampledPart& part, Draws& draws) {
  return part.weight * draws.gamma(part.drawn + 0.5);
}

double quantile(std::vector<double>& values, double probability) {
  const auto at = static_cast<std::ptrdiff_t>(
      std::lround(probability * static_cast<double>(values.size() - 1)));
  std::nth_element(values.begin(), values.begin() + at, values.end());
  return values[static_cast<std::size_t>(at)];
}

}  // namespace

Interval melded_limits(const SampledPart& first, const SampledPart& second,
                       const OfTwoParts& number, const BootstrapOptions& options) {
  std::vector<double> low;
  std::vector<double> high;
  for (int i = 0; i < std::max(1, options.resamples); ++i) {
    Draws draws(options.seed, static_cast<std::uint64_t>(i));
    const double of_first = size(first, draws);
    const double of_second = size(second, draws);
    const double share = of_second / (of_first + of_second);
    const double worst_first = above(first, draws);
    const double worst_second = above(second, draws);
    low.push_back(number(worst_first, worst_second, share));
    const double best_first = below(first, draws);
    const double best_second = below(second, draws);
    high.push_back(number(best_first, best_second, share));
  }
  const double tail = (1 - options.confidence) / 2;
  return {quantile(low, tail), quantile(high, 1 - tail)};
}

}  // namespace lastlook::analytics
