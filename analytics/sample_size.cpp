// SPDX-License-Identifier: Apache-2.0
#include "analytics/sample_size.h"

#include <fmt/format.h>

#include <cmath>

#include "analytics/distributions.h"
#include "analytics/kappa.h"

namespace lastlook::analytics {
namespace {

constexpr std::int64_t kMostUnits = 100'000'000;
constexpr std::int64_t kMostSample = 1'000'000;

bool inside(double share) {
  return share > 0 && share < 1;
}

Status need_inside(double value, std::string_view name) {
  if (inside(value)) return {};
  return fail(Category::bad_input,
              fmt::format("{} {}: expected more than 0 and less than 1", name, value));
}

// To the next whole number, but not for what is whole up to rounding.
std::int64_t rounded_up(double value) {
  return static_cast<std::int64_t>(std::ceil(value - 1e-9));
}

}  // namespace

Result<std::int64_t> units_to_prove(double rate, double confidence, std::int64_t failures) {
  if (const Status s = need_inside(rate, "a rate of"); !s) return tl::unexpected(s.error());
  if (const Status s = need_inside(confidence, "a confidence of"); !s)
    return tl::unexpected(s.error());
  if (failures < 0) return fail(Category::bad_input, "failures below 0: expected 0 or more");
  const auto proves = [&](std::int64_t n) {
    return binomial_lower_tail(failures, n, rate) <= 1 - confidence;
  };
  std::int64_t high = failures + 1;
  while (high < kMostUnits && !proves(high)) high *= 2;
  if (high >= kMostUnits)
    return fail(Category::bad_input, "more than 100 million units: expected a larger rate");
  std::int64_t low = failures;  // does not prove
  while (high - low > 1) {
    const std::int64_t middle = low + (high - low) / 2;
    (proves(middle) ? high : low) = middle;
  }
  return high;
}

Result<double> kappa_unit_variance(const KappaPlan& plan) {
  for (const double share : {plan.share_a, plan.share_b}) {
    if (const Status s = need_inside(share, "a share of"); !s) return tl::unexpected(s.error());
  }
  const double a = plan.share_a;
  const double b = plan.share_b;
  const double expected = a * b + (1 - a) * (1 - b);
  const double observed = plan.kappa * (1 - expected) + expected;
  const double both = (observed + a + b - 1) / 2;
  const double neither = observed - both;
  const double a_only = a - both;
  const double b_only = b - both;
  for (const double cell : {both, neither, a_only, b_only}) {
    if (cell < -1e-12) {
      return fail(Category::bad_input,
                  fmt::format("kappa {} cannot be with shares of {} and {}: expected shares "
                              "closer to each other, or a smaller kappa",
                              plan.kappa, a, b));
    }
  }
  const Matrix table({{both, std::max(0.0, a_only)}, {std::max(0.0, b_only), neither}});
  return kappa(table).map([](const Kappa& k) { return k.se * k.se; });
}

Result<std::int64_t> units_for_kappa_width(const KappaPlan& plan, double half_width,
                                           double confidence) {
  if (const Status s = need_inside(half_width, "a half width of"); !s)
    return tl::unexpected(s.error());
  if (const Status s = need_inside(confidence, "a confidence of"); !s)
    return tl::unexpected(s.error());
  const double z = two_sided_z(confidence);
  return kappa_unit_variance(plan).map(
      [&](double q) { return rounded_up(z * z * q / (half_width * half_width)); });
}

Result<std::int64_t> units_for_kappa_test(const KappaPlan& plan, double against, double confidence,
                                          double power) {
  if (const Status s = need_inside(confidence, "a confidence of"); !s)
    return tl::unexpected(s.error());
  if (const Status s = need_inside(power, "a power of"); !s) return tl::unexpected(s.error());
  if (!(plan.kappa > against)) {
    return fail(
        Category::bad_input,
        fmt::format("a kappa of {} against {}: expected it to be larger", plan.kappa, against));
  }
  KappaPlan null = plan;
  null.kappa = against;
  const Result<double> q0 = kappa_unit_variance(null);
  const Result<double> q1 = kappa_unit_variance(plan);
  if (!q0) return tl::unexpected(q0.error());
  if (!q1) return tl::unexpected(q1.error());
  const double root =
      (normal_quantile(confidence) * std::sqrt(*q0) + normal_quantile(power) * std::sqrt(*q1)) /
      (plan.kappa - against);
  return rounded_up(root * root);
}

Result<std::int64_t> sample_to_catch(double from, double to, double power) {
  if (!inside(from) || !inside(to) || !(to > from)) {
    return fail(Category::bad_input,
                fmt::format("rates from {} to {}: expected two rates between 0 and 1, the second "
                            "larger",
                            from, to));
  }
  if (const Status s = need_inside(power, "a power of"); !s) return tl::unexpected(s.error());
  const double tail = normal_cdf(-3);
  for (std::int64_t n = 1; n <= kMostSample; ++n) {
    const std::int64_t upper = binomial_quantile(1 - tail, n, from);
    if (binomial_upper_tail(upper + 1, n, to) >= power) return n;
  }
  return fail(Category::bad_input,
              "more than a million units a sample: expected rates further apart");
}

}  // namespace lastlook::analytics
