// SPDX-License-Identifier: Apache-2.0
#include "analytics/sample_size.h"

#include <fmt/format.h>

#include <cmath>
#include <numeric>

#include "analytics/distributions.h"
#include "analytics/kappa.h"
#include "analytics/linear_programme.h"

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

// The largest unit variance of a kappa over all tables with these margins on both sides. It is
// linear in the cells, for the agreement that chance gives and the agreement seen are both fixed.
Result<double> largest_unit_variance(const std::vector<double>& shares, double kappa) {
  const std::size_t k = shares.size();
  const double expected = std::inner_product(shares.begin(), shares.end(), shares.begin(), 0.0);
  const double observed = kappa * (1 - expected) + expected;
  std::vector<double> gain;
  std::vector<double> diagonal;
  std::vector<std::vector<double>> equations(2 * k, std::vector<double>(k * k));
  std::vector<double> values;
  for (std::size_t i = 0; i < k; ++i) {
    for (std::size_t j = 0; j < k; ++j) {
      const double both = shares[i] + shares[j];
      gain.push_back(i == j ? std::pow((1 - expected) - both * (1 - observed), 2)
                            : std::pow((1 - observed) * both, 2));
      diagonal.push_back(i == j ? 1 : 0);
      equations[i][i * k + j] = 1;
      equations[k + j][i * k + j] = 1;
    }
  }
  values.insert(values.end(), shares.begin(), shares.end());
  values.insert(values.end(), shares.begin(), shares.end());
  equations.push_back(diagonal);
  values.push_back(observed);
  return largest(gain, equations, values).map([&](double sum) {
    const double rest = observed * expected - 2 * expected + observed;
    return (sum - rest * rest) / std::pow(1 - expected, 4);
  });
}

Status check_shares(const std::vector<double>& shares) {
  for (const double share : shares) {
    if (const Status s = need_inside(share, "a share of"); !s) return s;
  }
  const double sum = std::accumulate(shares.begin(), shares.end(), 0.0);
  if (shares.size() >= 2 && std::abs(sum - 1) < 1e-6) return {};
  return fail(Category::bad_input,
              fmt::format("{} shares that add up to {:g}: expected two or more that add up to 1",
                          shares.size(), sum));
}

Result<std::int64_t> units_for_test(const Result<double>& q0, const Result<double>& q1,
                                    double difference, double confidence, double power) {
  if (!q0) return tl::unexpected(q0.error());
  if (!q1) return tl::unexpected(q1.error());
  const double root =
      (normal_quantile(confidence) * std::sqrt(*q0) + normal_quantile(power) * std::sqrt(*q1)) /
      difference;
  return rounded_up(root * root);
}

Status check_test(double kappa, double against, double confidence, double power) {
  if (const Status s = need_inside(confidence, "a confidence of"); !s) return s;
  if (const Status s = need_inside(power, "a power of"); !s) return s;
  if (kappa > against) return {};
  return fail(Category::bad_input,
              fmt::format("a kappa of {} against {}: expected it to be larger", kappa, against));
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
  if (const Status s = check_test(plan.kappa, against, confidence, power); !s)
    return tl::unexpected(s.error());
  KappaPlan null = plan;
  null.kappa = against;
  return units_for_test(kappa_unit_variance(null), kappa_unit_variance(plan), plan.kappa - against,
                        confidence, power);
}

Result<std::int64_t> units_for_kappa_of_shares(const std::vector<double>& shares, double kappa,
                                               double against, double confidence, double power) {
  if (const Status s = check_shares(shares); !s) return tl::unexpected(s.error());
  if (const Status s = check_test(kappa, against, confidence, power); !s)
    return tl::unexpected(s.error());
  return units_for_test(largest_unit_variance(shares, against),
                        largest_unit_variance(shares, kappa), kappa - against, confidence, power);
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
