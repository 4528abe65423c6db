// SPDX-License-Identifier: Apache-2.0
#include "analytics/bootstrap.h"

#include <algorithm>
#include <cmath>
#include <thread>

#include "analytics/distributions.h"
#include "analytics/random_stream.h"

namespace lastlook::analytics {
namespace {

// From the statistic without one unit at a time, sample by sample.
double acceleration(const std::vector<std::vector<double>>& left_out) {
  double squares = 0;
  double cubes = 0;
  for (const std::vector<double>& group : left_out) {
    const auto n = static_cast<double>(group.size());
    double mean = 0;
    for (const double v : group) mean += v / n;
    for (const double v : group) {
      const double influence = (mean - v) * (n - 1) / n;
      squares += influence * influence;
      cubes += influence * influence * influence;
    }
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

Resamples::Resamples(std::vector<double> rows, std::size_t width, const BootstrapOptions& options)
    : options_(options),
      rows_(std::move(rows)),
      width_(width),
      units_(width > 0 ? rows_.size() / width : 0),
      total_(width) {
  if (options_.samples.empty()) options_.samples = {units_};
  for (std::size_t i = 0; i < units_ * width_; ++i) total_[i % width_] += rows_[i];
  if (units_ < 3) return;
  const auto count = static_cast<std::size_t>(std::max(0, options_.resamples));
  sums_.resize(count * width_);
  const unsigned wanted =
      options_.threads > 0 ? options_.threads : std::thread::hardware_concurrency();
  const std::size_t threads = std::clamp<std::size_t>(wanted, 1, count / 200 + 1);
  std::vector<std::jthread> others;
  for (std::size_t i = 1; i < threads; ++i) {
    others.emplace_back(
        [this, i, count, threads] { draw(count * i / threads, count * (i + 1) / threads); });
  }
  draw(0, count / threads);
}

void Resamples::draw(std::size_t first, std::size_t last) {
  for (std::size_t r = first; r < last; ++r) {
    RandomStream stream(options_.seed, r);
    double* const sum = &sums_[r * width_];
    std::size_t from = 0;
    for (const std::size_t size : options_.samples) {
      for (std::size_t i = 0; i < size; ++i) {
        const double* const row =
            &rows_[(from + stream.below(static_cast<std::uint32_t>(size))) * width_];
        for (std::size_t k = 0; k < width_; ++k) sum[k] += row[k];
      }
      from += size;
    }
  }
}

std::vector<std::vector<double>> Resamples::leave_one_out(const Statistic& statistic) const {
  std::vector<std::vector<double>> values;
  std::vector<double> sum(width_);
  std::size_t unit = 0;
  for (const std::size_t size : options_.samples) {
    std::vector<double>& without = values.emplace_back();
    for (const std::size_t end = unit + size; unit < end; ++unit) {
      for (std::size_t k = 0; k < width_; ++k) sum[k] = total_[k] - rows_[unit * width_ + k];
      if (const auto value = statistic(sum)) without.push_back(*value);
    }
  }
  return values;
}

Result<Interval> Resamples::bca(const Statistic& statistic) const {
  if (units_ < 3) return fail(Category::bad_input, "fewer than 3 units: expected more to resample");
  if (options_.resamples < 100) return fail(Category::bad_input, "expected at least 100 resamples");
  const auto value = statistic(total_);
  if (!value) return fail(Category::refused, "the number itself is not defined");
  std::vector<double> values;
  values.reserve(static_cast<std::size_t>(options_.resamples));
  for (std::size_t r = 0; r < sums_.size() / width_; ++r) {
    if (const auto resampled = statistic(sums(r))) values.push_back(*resampled);
  }
  if (values.size() * 20 < static_cast<std::size_t>(options_.resamples) * 19) {
    return fail(Category::refused,
                "too many resamples leave the number undefined: too few units of one kind");
  }
  std::sort(values.begin(), values.end());
  const double rounding = 1e-12 * std::max(1.0, std::abs(*value));
  if (values.back() - values.front() <= rounding) {
    return fail(Category::refused,
                "resampling never changes the number, so it shows no doubt: see the exact "
                "limits of the rates instead");
  }
  const double bias = bias_of(values, *value);
  const double a = acceleration(leave_one_out(statistic));
  const double z = two_sided_z(options_.confidence);
  const auto corrected = [&](double side) {
    return quantile(values, normal_cdf(bias + (bias + side) / (1 - a * (bias + side))));
  };
  return Interval{corrected(-z), corrected(z)};
}

}  // namespace lastlook::analytics
