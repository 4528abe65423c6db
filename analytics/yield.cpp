// SPDX-License-Identifier: Apache-2.0
#include "analytics/yield.h"

#include <fmt/format.h>

#include <cmath>

namespace lastlook::analytics {

Result<Rate> first_pass_yield(std::int64_t conforming_first_looks, std::int64_t first_looks,
                              double confidence) {
  return binomial_interval(conforming_first_looks, first_looks, BinomialMethod::wilson, confidence)
      .map([&](Interval limits) {
        return Rate{conforming_first_looks, first_looks,
                    static_cast<double>(conforming_first_looks) / static_cast<double>(first_looks),
                    limits};
      });
}

Result<DefectRates> defect_rates(std::int64_t defects, std::int64_t units,
                                 std::int64_t opportunities_a_unit, double confidence) {
  if (units < 1 || opportunities_a_unit < 1) {
    return fail(Category::bad_input,
                fmt::format("{} units with {} opportunities each: expected at least one of both",
                            units, opportunities_a_unit));
  }
  return poisson_interval(defects, confidence).map([&](Interval count) {
    const auto n = static_cast<double>(units);
    const double opportunities = n * static_cast<double>(opportunities_a_unit);
    DefectRates rates;
    rates.per_unit = static_cast<double>(defects) / n;
    rates.per_opportunity = static_cast<double>(defects) / opportunities;
    rates.per_million = 1e6 * rates.per_opportunity;
    rates.per_unit_limits = {count.low / n, count.high / n};
    rates.per_million_limits = {1e6 * count.low / opportunities, 1e6 * count.high / opportunities};
    rates.throughput_yield = std::exp(-rates.per_unit);
    rates.throughput_yield_limits = {std::exp(-rates.per_unit_limits.high),
                                     std::exp(-rates.per_unit_limits.low)};
    return rates;
  });
}

Result<RolledYield> rolled_yield(const std::vector<StepYield>& steps) {
  if (steps.empty()) {
    return fail(Category::bad_input, "no steps: expected the yield of at least one");
  }
  RolledYield out;
  out.value = 1;
  double down = 0;
  double up = 0;
  for (const StepYield& step : steps) {
    for (const double share : {step.value, step.limits.low, step.limits.high}) {
      if (share >= 0 && share <= 1) continue;
      return fail(Category::bad_input, fmt::format("a yield of {}: expected 0 to 1", share));
    }
    out.value *= step.value;
    down += std::pow(std::log(step.value / step.limits.low), 2);
    up += std::pow(std::log(step.limits.high / step.value), 2);
  }
  if (out.value > 0) {
    out.limits = Interval{out.value * std::exp(-std::sqrt(down)),
                          std::min(1.0, out.value * std::exp(std::sqrt(up)))};
  } else {
    out.limits = fail(Category::refused, "a step let nothing pass, so the product has no limits");
  }
  return out;
}

}  // namespace lastlook::analytics
