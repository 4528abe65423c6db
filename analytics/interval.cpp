// SPDX-License-Identifier: Apache-2.0
#include "analytics/interval.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>

#include "analytics/distributions.h"

namespace lastlook::analytics {
namespace {

struct Sample {
  double x;  // hits
  double n;  // units
  double z;
  double tail;  // probability beyond each limit
  double p() const { return x / n; }
  double q() const { return (n - x) / n; }
};

Interval cut(double low, double high, double least = 0) {
  return {std::max(low, least), std::min(high, 1.0)};
}

Interval wald(const Sample& s, double correction) {
  const double half = s.z * std::sqrt(s.p() * s.q() / s.n) + correction / (2 * s.n);
  return cut(s.p() - half, s.p() + half);
}

Interval wilson(const Sample& s) {
  const double zz = s.z * s.z;
  const double middle = 2 * s.x + zz;
  const double half = s.z * std::sqrt(zz + 4 * s.x * s.q());
  const double divisor = 2 * (s.n + zz);
  return {s.x == 0 ? 0 : (middle - half) / divisor, s.x == s.n ? 1 : (middle + half) / divisor};
}

Interval wilson_corrected(const Sample& s) {
  const double zz = s.z * s.z;
  const double divisor = 2 * (s.n + zz);
  const double np = s.x;
  const double nq = s.n - s.x;
  const auto root = [&](double inside) { return s.z * std::sqrt(std::max(0.0, inside)); };
  const double low = (2 * np + zz - 1 - root(zz - 2 - 1 / s.n + 4 * s.p() * (nq + 1))) / divisor;
  const double high = (2 * np + zz + 1 + root(zz + 2 - 1 / s.n + 4 * s.p() * (nq - 1))) / divisor;
  return cut(s.x == 0 ? 0 : low, s.x == s.n ? 1 : high);
}

Interval clopper_pearson(const Sample& s) {
  return {s.x <= 0 ? 0 : beta_quantile(s.tail, s.x, s.n - s.x + 1),
          s.x >= s.n ? 1 : beta_quantile(1 - s.tail, s.x + 1, s.n - s.x)};
}

Interval agresti_coull(const Sample& s) {
  const double zz = s.z * s.z;
  return wald({s.x + zz / 2, s.n + zz, s.z, s.tail}, 0);
}

Interval jeffreys(const Sample& s) {
  return {beta_quantile(s.tail, s.x + 0.5, s.n - s.x + 0.5),
          beta_quantile(1 - s.tail, s.x + 0.5, s.n - s.x + 0.5)};
}

// Where a function that falls from above 0 at `from` to below 0 at `to` crosses 0.
double crossing(const std::function<double(double)>& f, double from, double to) {
  for (int step = 0; step < 200 && std::nextafter(from, to) != to; ++step) {
    const double middle = from + (to - from) / 2;
    (f(middle) > 0 ? from : to) = middle;
  }
  return from + (to - from) / 2;
}

// Both limits lie where `excess` of p falls below 0, seen from the observed proportion.
Interval by_crossing(const Sample& s, const std::function<double(double)>& excess_low,
                     const std::function<double(double)>& excess_high) {
  return {s.x == 0 ? 0 : crossing(excess_low, s.p(), 0),
          s.x == s.n ? 1 : crossing(excess_high, s.p(), 1)};
}

Interval mid_p(const Sample& s) {
  const auto x = static_cast<std::int64_t>(s.x);
  const auto n = static_cast<std::int64_t>(s.n);
  return by_crossing(
      s,
      [&](double p) {
        return binomial_upper_tail(x + 1, n, p) + binomial_pmf(x, n, p) / 2 - s.tail;
      },
      [&](double p) {
        return binomial_lower_tail(x - 1, n, p) + binomial_pmf(x, n, p) / 2 - s.tail;
      });
}

Interval likelihood(const Sample& s) {
  const auto log_likelihood = [&](double p) {
    return (s.x > 0 ? s.x * std::log(p) : 0) + (s.x < s.n ? (s.n - s.x) * std::log1p(-p) : 0);
  };
  const double floor = log_likelihood(s.p()) - s.z * s.z / 2;
  const auto excess = [&](double p) { return log_likelihood(p) - floor; };
  return by_crossing(s, excess, excess);
}

Interval by_method(const Sample& s, BinomialMethod method) {
  switch (method) {
    case BinomialMethod::wilson:
      return wilson(s);
    case BinomialMethod::clopper_pearson:
      return clopper_pearson(s);
    case BinomialMethod::wald:
      return wald(s, 0);
    case BinomialMethod::wald_corrected:
      return wald(s, 1);
    case BinomialMethod::wilson_corrected:
      return wilson_corrected(s);
    case BinomialMethod::mid_p:
      return mid_p(s);
    case BinomialMethod::likelihood:
      return likelihood(s);
    case BinomialMethod::agresti_coull:
      return agresti_coull(s);
    case BinomialMethod::jeffreys:
      return jeffreys(s);
  }
  return wilson(s);
}

Result<Sample> sample(double hits, double units, double confidence) {
  if (!(units > 0)) {
    return fail(Category::bad_input, "no units, so there is no proportion: expected at least one");
  }
  if (!(hits >= 0 && hits <= units)) {
    return fail(Category::bad_input,
                fmt::format("{} hits in {} units: expected 0 to {}", hits, units, units));
  }
  if (!(confidence > 0 && confidence < 1)) {
    return fail(
        Category::bad_input,
        fmt::format("a confidence of {}: expected more than 0 and less than 1", confidence));
  }
  return Sample{hits, units, two_sided_z(confidence), (1 - confidence) / 2};
}

Result<Sample> sample(std::int64_t hits, std::int64_t units, double confidence) {
  return sample(static_cast<double>(hits), static_cast<double>(units), confidence);
}

Interval difference_wald(const Sample& a, const Sample& b, bool corrected) {
  const double half = a.z * std::sqrt(a.p() * a.q() / a.n + b.p() * b.q() / b.n) +
                      (corrected ? (1 / a.n + 1 / b.n) / 2 : 0);
  const double d = a.p() - b.p();
  return cut(d - half, d + half, -1);
}

Interval hybrid(const Sample& a, const Sample& b, Interval of_a, Interval of_b) {
  const double d = a.p() - b.p();
  return cut(d - std::hypot(a.p() - of_a.low, of_b.high - b.p()),
             d + std::hypot(of_a.high - a.p(), b.p() - of_b.low), -1);
}

Sample one_more_of_each(const Sample& s) {
  return {s.x + 1, s.n + 2, s.z, s.tail};
}

}  // namespace

double two_sided_z(double confidence) {
  return normal_quantile((1 + confidence) / 2);
}

Result<Interval> binomial_interval(std::int64_t hits, std::int64_t units, BinomialMethod method,
                                   double confidence) {
  return sample(hits, units, confidence).map([&](const Sample& s) { return by_method(s, method); });
}

Result<Interval> exact_interval(double hits, double units, double confidence) {
  return sample(hits, units, confidence).map(clopper_pearson);
}

Result<double> exact_upper_limit(std::int64_t hits, std::int64_t units, double confidence) {
  // One-sided: the upper limit of the two-sided interval that leaves this much above it.
  return sample(hits, units, confidence).map([&](Sample s) {
    s.tail = 1 - confidence;
    return clopper_pearson(s).high;
  });
}

Result<Interval> poisson_interval(std::int64_t count, double confidence) {
  if (count < 0 || !(confidence > 0 && confidence < 1)) {
    return fail(Category::bad_input,
                fmt::format("a count of {} at confidence {}: expected a count of 0 or more and a "
                            "confidence between 0 and 1",
                            count, confidence));
  }
  const double tail = (1 - confidence) / 2;
  const auto x = static_cast<double>(count);
  return Interval{count == 0 ? 0 : gamma_quantile(tail, x), gamma_quantile(1 - tail, x + 1)};
}

Result<Interval> difference_interval(Share a, Share b, DifferenceMethod method, double confidence) {
  const Result<Sample> sample_a = sample(a.hits, a.units, confidence);
  const Result<Sample> sample_b = sample(b.hits, b.units, confidence);
  if (!sample_a) return tl::unexpected(sample_a.error());
  if (!sample_b) return tl::unexpected(sample_b.error());
  const Sample& sa = *sample_a;
  const Sample& sb = *sample_b;
  switch (method) {
    case DifferenceMethod::newcombe:
      return hybrid(sa, sb, wilson(sa), wilson(sb));
    case DifferenceMethod::newcombe_corrected:
      return hybrid(sa, sb, wilson_corrected(sa), wilson_corrected(sb));
    case DifferenceMethod::wald:
      return difference_wald(sa, sb, false);
    case DifferenceMethod::wald_corrected:
      return difference_wald(sa, sb, true);
    case DifferenceMethod::agresti_caffo: {
      const Sample more_a = one_more_of_each(sa);
      const Sample more_b = one_more_of_each(sb);
      return difference_wald(more_a, more_b, false);
    }
  }
  return hybrid(sa, sb, wilson(sa), wilson(sb));
}

}  // namespace lastlook::analytics
