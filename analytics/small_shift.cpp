// SPDX-License-Identifier: Apache-2.0
#include "analytics/small_shift.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "analytics/distributions.h"
#include "analytics/rule_price.h"

namespace lastlook::analytics {
namespace {

constexpr std::size_t kStates = 151;      // of a CUSUM's side
constexpr std::size_t kEwmaStates = 221;  // odd, so that 0 lies in the middle of one
constexpr double kNever = 1e12;           // points; an alarm later than this never comes

using Row = std::vector<double>;

// Mean steps to leave, from each state, by elimination with pivots: (I - P) wait = 1.
Row waits(std::vector<Row> stays) {
  const std::size_t n = stays.size();
  Row wait(n, 1.0);
  for (std::size_t i = 0; i < n; ++i) {
    for (std::size_t j = 0; j < n; ++j) stays[i][j] = (i == j ? 1.0 : 0.0) - stays[i][j];
  }
  for (std::size_t i = 0; i < n; ++i) {
    std::size_t pivot = i;
    for (std::size_t r = i + 1; r < n; ++r) {
      if (std::abs(stays[r][i]) > std::abs(stays[pivot][i])) pivot = r;
    }
    std::swap(stays[i], stays[pivot]);
    std::swap(wait[i], wait[pivot]);
    if (stays[i][i] == 0) return Row(n, HUGE_VAL);
    for (std::size_t r = i + 1; r < n; ++r) {
      const double factor = stays[r][i] / stays[i][i];
      if (factor == 0) continue;
      for (std::size_t c = i; c < n; ++c) stays[r][c] -= factor * stays[i][c];
      wait[r] -= factor * wait[i];
    }
  }
  for (std::size_t i = n; i-- > 0;) {
    for (std::size_t c = i + 1; c < n; ++c) wait[i] -= stays[i][c] * wait[c];
    wait[i] /= stays[i][i];
  }
  return wait;
}

double honest(double wait) {
  return wait > 0 && wait < kNever ? wait : HUGE_VAL;
}

double ewma_wait(double lambda, double width, const Cdf& points) {
  const double limit = width * std::sqrt(lambda / (2 - lambda));
  const double cell = 2 * limit / kEwmaStates;
  const auto middle = [&](std::size_t i) { return -limit + cell * (static_cast<double>(i) + 0.5); };
  std::vector<Row> stays(kEwmaStates, Row(kEwmaStates));
  for (std::size_t i = 0; i < kEwmaStates; ++i) {
    const double kept = (1 - lambda) * middle(i);
    double below = points((-limit - kept) / lambda);
    for (std::size_t j = 0; j < kEwmaStates; ++j) {
      const double up_to = points((middle(j) + cell / 2 - kept) / lambda);
      stays[i][j] = up_to - below;
      below = up_to;
    }
  }
  return honest(waits(std::move(stays))[kEwmaStates / 2]);
}

// One side: `points` are those of rises.
double cusum_wait(double allowance, double limit, const Cdf& points) {
  const double cell = 2 * limit / (2 * kStates - 1);
  std::vector<Row> stays(kStates, Row(kStates));
  for (std::size_t i = 0; i < kStates; ++i) {
    double below = 0;
    for (std::size_t j = 0; j < kStates; ++j) {
      const double step = (static_cast<double>(j) - static_cast<double>(i) + 0.5) * cell;
      const double up_to = points(allowance + step);
      stays[i][j] = up_to - below;
      below = up_to;
    }
  }
  return honest(waits(std::move(stays))[0]);
}

Cdf mirrored(const Cdf& points) {
  // P(-Z <= z) = 1 - P(Z < -z); a hair below, for counts have mass on single values.
  return [&points](double z) { return 1 - points(-z - 1e-9); };
}

Status check(bool right, std::string_view what) {
  if (right) return {};
  return fail(Category::bad_input, fmt::format("expected {}", what));
}

// The smallest argument at which the wait is long enough; it never falls as the argument grows.
Result<double> narrowest(double from, double to, double wanted,
                         const std::function<double(double)>& wait) {
  if (wait(to) < wanted)
    return fail(Category::refused, "no limit makes false alarms so rare for these counts");
  for (int step = 0; step < 40; ++step) {
    const double middle = (from + to) / 2;
    (wait(middle) < wanted ? from : to) = middle;
  }
  return to;
}

Result<double> limit_for(const SmallShiftOptions& options, const Cdf& points) {
  if (options.kind == SmallShiftKind::ewma) {
    const double sigma = std::sqrt(options.lambda / (2 - options.lambda));
    return narrowest(0.1, 8, options.false_alarm_at,
                     [&](double width) { return ewma_wait(options.lambda, width, points); })
        .map([&](double width) { return width * sigma; });
  }
  return narrowest(0.1, 60, options.false_alarm_at, [&](double limit) {
    return cusum_run_length(options.shift / 2, limit, points).value_or(0);
  });
}

Cdf points_behind(const AttributeChart& chart) {
  const Result<std::vector<Outcome>> outcomes = outcomes_of(chart);
  return outcomes ? points_of(*outcomes) : normal_points();
}

// Adds up one phase.
class Adder {
 public:
  Adder(const SmallShiftOptions& options, double limit) : options_(options), limit_(limit) {}

  void add(ChartPoint& point, std::size_t index) {
    const bool counts = point.z && point.excluded.empty();
    if (options_.kind == SmallShiftKind::ewma) {
      if (counts) sum_ = options_.lambda * *point.z + (1 - options_.lambda) * sum_;
      set(point, sum_, std::nullopt);
    } else {
      if (counts) step(*point.z, index);
      set(point, rise_, 0 - fall_);
    }
    if (counts) mark(point);
  }

 private:
  void step(double z, std::size_t index) {
    if (rise_ == 0) rises_from_ = index;
    if (fall_ == 0) falls_from_ = index;
    rise_ = std::max(0.0, rise_ + z - options_.shift / 2);
    fall_ = std::max(0.0, fall_ - z - options_.shift / 2);
  }

  void set(ChartPoint& point, double value, std::optional<double> down) const {
    if (!point.value) return;  // nothing inspected
    point.value = value;
    point.down = down;
    point.centre = 0;
    point.lower = -limit_;
    point.upper = limit_;
  }

  void mark(ChartPoint& point) const {
    const bool ewma = options_.kind == SmallShiftKind::ewma;
    if ((ewma ? sum_ : rise_) > limit_) point.signals.push_back({"higher", rises_from_});
    if ((ewma ? -sum_ : fall_) > limit_) point.signals.push_back({"lower", falls_from_});
  }

  const SmallShiftOptions& options_;
  double limit_;
  double sum_ = 0;
  double rise_ = 0;
  double fall_ = 0;
  std::size_t rises_from_ = 0;
  std::size_t falls_from_ = 0;
};

Status check_options(const SmallShiftOptions& options) {
  if (const Status s =
          check(options.lambda > 0 && options.lambda <= 1, "a weight of more than 0 and at most 1");
      !s)
    return s;
  if (const Status s = check(options.shift > 0, "a shift of more than 0 sigmas"); !s) return s;
  return check(options.false_alarm_at > 1 && options.false_alarm_at <= 1e6,
               "more than 1 and at most a million points between false alarms");
}

}  // namespace

Cdf normal_points(double shift) {
  return [shift](double z) { return normal_cdf(z - shift); };
}

Cdf points_of(std::vector<Outcome> outcomes) {
  std::sort(outcomes.begin(), outcomes.end(),
            [](const Outcome& a, const Outcome& b) { return a.z < b.z; });
  double sum = 0;
  for (Outcome& outcome : outcomes) outcome.probability = sum += outcome.probability;
  return [outcomes = std::move(outcomes)](double z) {
    const auto above = std::upper_bound(outcomes.begin(), outcomes.end(), z,
                                        [](double value, const Outcome& o) { return value < o.z; });
    return above == outcomes.begin() ? 0.0 : (above - 1)->probability;
  };
}

Result<double> ewma_run_length(double lambda, double width, const Cdf& points) {
  if (const Status s = check(lambda > 0 && lambda <= 1 && width > 0,
                             "a weight of more than 0 and at most 1, and a width above 0");
      !s)
    return tl::unexpected(s.error());
  return ewma_wait(lambda, width, points);
}

Result<double> cusum_run_length(double allowance, double limit, const Cdf& points) {
  if (const Status s = check(allowance >= 0 && limit >= 0, "an allowance and a limit of 0 or more");
      !s)
    return tl::unexpected(s.error());
  const double rate =
      1 / cusum_wait(allowance, limit, points) + 1 / cusum_wait(allowance, limit, mirrored(points));
  return rate > 0 ? 1 / rate : HUGE_VAL;
}

Result<AttributeChart> small_shift_chart(const AttributeChart& chart,
                                         const SmallShiftOptions& options) {
  if (const Status s = check_options(options); !s) return tl::unexpected(s.error());
  const Result<double> limit = limit_for(options, points_behind(chart));
  if (!limit) return tl::unexpected(limit.error());
  AttributeChart out = chart;
  const bool ewma = options.kind == SmallShiftKind::ewma;
  out.axis = ewma ? "running mean of distances in sigmas"
                  : "distances added up, in sigmas; hollow: downwards";
  out.in_percent = false;
  out.limits_in_words =
      fmt::format("a false alarm every {:.0f} points or more", options.false_alarm_at);
  for (const ChartPhase& phase : chart.phases) {
    Adder adder(options, *limit);
    for (std::size_t i = phase.first; i < phase.end; ++i) {
      out.points[i].signals.clear();
      adder.add(out.points[i], i);
    }
  }
  for (ChartPoint& point : out.points) {
    for (Signal& signal : point.signals) {
      signal.reason = ewma ? signal.reason + " than usual"
                           : fmt::format("{} than usual since {}", signal.reason,
                                         chart.points[signal.first].sample);
    }
  }
  for (ChartPhase& phase : out.phases) phase.centre = 0;
  return out;
}

}  // namespace lastlook::analytics
