// SPDX-License-Identifier: Apache-2.0
#include "analytics/bootstrap.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <thread>

#include "analytics/distributions.h"

namespace lastlook::analytics {
namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();

// SplitMix64 (Steele, Lea & Flood 2014): one stream a resample, so that threads may share the work.
class Stream {
 public:
  explicit Stream(std::uint64_t state) : state_(state) {}

  std::uint64_t next() {
    std::uint64_t z = state_ += 0x9E3779B97F4A7C15U;
    z = (z ^ z >> 30U) * 0xBF58476D1CE4E5B9U;
    z = (z ^ z >> 27U) * 0x94D049BB133111EBU;
    return z ^ z >> 31U;
  }

  // Below `bound`, by the high half of a product: bias below bound / 2^32.
  std::uint32_t below(std::uint32_t bound) {
    return static_cast<std::uint32_t>((next() >> 32U) * bound >> 32U);
  }

 private:
  std::uint64_t state_;
};

class Resampling {
 public:
  Resampling(std::size_t units, const Statistic& statistic, const BootstrapOptions& options)
      : units_(units), statistic_(statistic), options_(options) {}

  std::vector<double> run() const {
    std::vector<double> values(static_cast<std::size_t>(options_.resamples));
    const unsigned wanted =
        options_.threads > 0 ? options_.threads : std::thread::hardware_concurrency();
    const std::size_t threads = std::clamp<std::size_t>(wanted, 1, values.size() / 50 + 1);
    std::vector<std::thread> others;
    const auto part = [&](std::size_t index) {
      fill(values, values.size() * index / threads, values.size() * (index + 1) / threads);
    };
    for (std::size_t i = 1; i < threads; ++i) others.emplace_back(part, i);
    part(0);
    for (std::thread& thread : others) thread.join();
    return values;
  }

  // Each unit left out in turn.
  std::vector<double> leave_one_out() const {
    std::vector<double> values;
    std::vector<std::uint32_t> times(units_, 1);
    for (std::size_t i = 0; i < units_; ++i) {
      times[i] = 0;
      if (const auto value = statistic_(times)) values.push_back(*value);
      times[i] = 1;
    }
    return values;
  }

 private:
  void fill(std::vector<double>& values, std::size_t from, std::size_t to) const {
    std::vector<std::uint32_t> times(units_);
    for (std::size_t r = from; r < to; ++r) {
      Stream seeds(options_.seed ^ r * 0xD1342543DE82EF95U);
      Stream stream(seeds.next());
      std::fill(times.begin(), times.end(), 0U);
      for (std::size_t i = 0; i < units_; ++i)
        ++times[stream.below(static_cast<std::uint32_t>(units_))];
      values[r] = statistic_(times).value_or(kNone);
    }
  }

  std::size_t units_;
  const Statistic& statistic_;
  const BootstrapOptions& options_;
};

double acceleration(const std::vector<double>& left_out) {
  double mean = 0;
  for (const double v : left_out) mean += v / static_cast<double>(left_out.size());
  double squares = 0;
  double cubes = 0;
  for (const double v : left_out) {
    squares += (mean - v) * (mean - v);
    cubes += (mean - v) * (mean - v) * (mean - v);
  }
  return squares > 0 ? cubes / (6 * std::pow(squares, 1.5)) : 0;
}

double quantile(const std::vector<double>& sorted, double probability) {
  const double at = probability * static_cast<double>(sorted.size() - 1);
  const auto below = static_cast<std::size_t>(at);
  const std::size_t above = std::min(below + 1, sorted.size() - 1);
  return sorted[below] + (at - static_cast<double>(below)) * (sorted[above] - sorted[below]);
}

// How far the resamples lie to one side, in sigmas; ties with the value count half.
double bias_of(const std::vector<double>& sorted, double value) {
  const auto range = std::equal_range(sorted.begin(), sorted.end(), value);
  const auto below = static_cast<double>(range.first - sorted.begin());
  const auto equal = static_cast<double>(range.second - range.first);
  const auto all = static_cast<double>(sorted.size());
  return normal_quantile(std::clamp((below + equal / 2) / all, 0.5 / all, 1 - 0.5 / all));
}

}  // namespace

Result<Interval> bca_interval(std::size_t units, const Statistic& statistic,
                              const BootstrapOptions& options) {
  if (units < 3) return fail(Category::bad_input, "fewer than 3 units: expected more to resample");
  if (options.resamples < 100) return fail(Category::bad_input, "expected at least 100 resamples");
  const auto value = statistic(std::vector<std::uint32_t>(units, 1));
  if (!value) return fail(Category::refused, "the number itself is not defined");
  const Resampling resampling(units, statistic, options);
  std::vector<double> values = resampling.run();
  std::erase_if(values, [](double v) { return std::isnan(v); });
  if (values.size() * 20 < static_cast<std::size_t>(options.resamples) * 19) {
    return fail(Category::refused,
                "too many resamples leave the number undefined: too few units of one kind");
  }
  std::sort(values.begin(), values.end());
  if (values.front() == values.back()) {
    return fail(Category::refused,
                "resampling never changes the number, so it shows no doubt: see the exact "
                "limits of the rates instead");
  }
  const double bias = bias_of(values, *value);
  const double a = acceleration(resampling.leave_one_out());
  const double z = two_sided_z(options.confidence);
  const auto corrected = [&](double side) {
    return quantile(values, normal_cdf(bias + (bias + side) / (1 - a * (bias + side))));
  };
  return Interval{corrected(-z), corrected(z)};
}

}  // namespace lastlook::analytics
