// SPDX-License-Identifier: Apache-2.0
#include "analytics/rare_event.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "analytics/distributions.h"

namespace lastlook::analytics {
namespace {

constexpr double kPower = 0.2777;  // 1 / 3.6 as printed: makes exponential times nearly normal
constexpr double kSigmas = 3;
constexpr double kRangeOfTwo = 1.128;

// What one phase is judged by, on the scale of the data.
struct Judge {
  double centre = 0;
  double lower = 0;
  double upper = 0;
  double mean = 0;     // exponential limits
  double y_mean = 0;   // limits by the power
  double y_sigma = 0;  // likewise
};

Status checked(const std::vector<RareEvent>& events, const RareOptions& options) {
  if (events.empty()) return fail(Category::bad_input, "no events: expected at least two");
  for (const RareEvent& e : events) {
    const bool whole = options.kind == RareKind::t || e.between == std::floor(e.between);
    if (e.between >= 0 && std::isfinite(e.between) && whole) continue;
    return fail(Category::bad_input,
                fmt::format("event '{}': {} between, expected {}", e.name, e.between,
                            options.kind == RareKind::g ? "a whole number of 0 or more"
                                                        : "a time of 0 or more"));
  }
  if (options.kind == RareKind::g && !options.questions.empty()) {
    return fail(Category::refused,
                "runs on a g chart alarm at random, for its counts are too skewed: use a t chart");
  }
  return {};
}

// The smallest x with P(X <= x) >= probability, of good units before a bad one.
double geometric_quantile(double probability, double p) {
  const double x = std::log1p(-probability) / std::log1p(-p) - 1;
  return std::max(0.0, std::ceil(x - 1e-9));
}

Judge judge_g(const std::vector<double>& x, LimitKind limits) {
  Judge j;
  for (const double v : x) j.mean += v / static_cast<double>(x.size());
  j.centre = j.mean;
  if (limits == LimitKind::exact) {
    const double p = 1 / (j.mean + 1);
    const double tail = normal_cdf(-kSigmas);
    j.lower = geometric_quantile(tail, p);
    j.upper = geometric_quantile(1 - tail, p);
  } else {
    const double half = kSigmas * std::sqrt(j.mean * (j.mean + 1));
    j.lower = std::max(0.0, j.mean - half);
    j.upper = j.mean + half;
  }
  return j;
}

Judge judge_t(const std::vector<double>& x, LimitKind limits) {
  Judge j;
  double range = 0;
  const auto n = static_cast<double>(x.size());
  for (std::size_t i = 0; i < x.size(); ++i) {
    j.mean += x[i] / n;
    j.y_mean += std::pow(x[i], kPower) / n;
    if (i > 0) range += std::abs(std::pow(x[i], kPower) - std::pow(x[i - 1], kPower)) / (n - 1);
  }
  if (limits == LimitKind::exact) {
    const double tail = normal_cdf(-kSigmas);
    j.centre = j.mean * std::log(2.0);
    j.lower = -j.mean * std::log1p(-tail);
    j.upper = -j.mean * std::log(tail);
  } else {
    j.y_sigma = range / kRangeOfTwo;
    const auto back = [](double y) { return std::pow(std::max(0.0, y), 1 / kPower); };
    j.centre = back(j.y_mean);
    j.lower = back(j.y_mean - kSigmas * j.y_sigma);
    j.upper = back(j.y_mean + kSigmas * j.y_sigma);
  }
  return j;
}

std::optional<double> distance(double x, const Judge& j, const RareOptions& options) {
  if (options.kind == RareKind::g) return std::nullopt;
  if (options.limits == LimitKind::exact) {
    // The normal quantile of the exponential tail, from the side that keeps its digits.
    const double below = -std::expm1(-x / j.mean);
    const double above = std::exp(-x / j.mean);
    if (below <= 0 || above <= 0) return std::nullopt;
    return below < 0.5 ? normal_quantile(below) : -normal_quantile(above);
  }
  if (!(j.y_sigma > 0)) return std::nullopt;
  return (std::pow(x, kPower) - j.y_mean) / j.y_sigma;
}

ChartPoint point_of(const RareEvent& event, const Judge& j, const RareOptions& options,
                    std::size_t index) {
  ChartPoint point;
  point.sample = event.name;
  point.size = 1;
  point.value = event.between;
  point.centre = j.centre;
  point.lower = j.lower;
  point.upper = j.upper;
  point.excluded = event.excluded;
  point.z = distance(event.between, j, options);
  const double rounding = 1e-12 * std::max(1.0, event.between);
  if (event.between > j.upper + rounding) point.signals.push_back({"seldomer than usual", index});
  if (event.between < j.lower - rounding)
    point.signals.push_back({"sooner than usual after the one before", index});
  return point;
}

void mark_runs(AttributeChart& chart, const std::vector<Question>& questions) {
  std::vector<std::optional<double>> z;
  for (const ChartPoint& p : chart.points) z.push_back(p.excluded.empty() ? p.z : std::nullopt);
  std::vector<std::size_t> breaks;
  for (const ChartPhase& phase : chart.phases) breaks.push_back(phase.first);
  for (RunSignal& run : find_runs(z, questions, breaks)) {
    chart.points[run.point].signals.push_back({std::move(run.reason), run.first});
  }
}

std::vector<ChartPhase> split_phases(const std::vector<RareEvent>& events) {
  std::vector<ChartPhase> phases;
  for (std::size_t i = 0; i < events.size(); ++i) {
    if (phases.empty() || events[i].phase != phases.back().name) {
      phases.push_back({events[i].phase, 0, 0, 1, i, i, 0});
    }
    phases.back().end = i + 1;
  }
  return phases;
}

}  // namespace

Result<AttributeChart> rare_event_chart(const std::vector<RareEvent>& events,
                                        const RareOptions& options) {
  if (const Status s = checked(events, options); !s) return tl::unexpected(s.error());
  AttributeChart chart;
  chart.kind = ChartKind::c;
  chart.limits = options.limits;
  chart.axis = options.kind == RareKind::g ? "good units between" : "time between";
  chart.limits_in_words = words_for(options.limits);
  chart.phases = split_phases(events);
  for (std::size_t index = 0; index < chart.phases.size(); ++index) {
    ChartPhase& phase = chart.phases[index];
    std::vector<double> counted;
    for (std::size_t i = phase.first; i < phase.end; ++i) {
      if (events[i].excluded.empty()) counted.push_back(events[i].between);
    }
    const bool some = std::any_of(counted.begin(), counted.end(), [](double x) { return x > 0; });
    if (counted.size() < 2 || !some) {
      return fail(Category::refused,
                  fmt::format("{}expected at least two events that count, not all at 0",
                              phase.name.empty() ? "" : "phase '" + phase.name + "': "));
    }
    const Judge judge = options.kind == RareKind::g ? judge_g(counted, options.limits)
                                                    : judge_t(counted, options.limits);
    phase.counted = counted.size();
    phase.centre = phase.rate = judge.centre;
    for (std::size_t i = phase.first; i < phase.end; ++i) {
      chart.points.push_back(point_of(events[i], judge, options, i));
      chart.points.back().phase = index;
    }
    if (judge.lower <= 0) {
      chart.notes.push_back(
          "the lower limit is 0: that events come closer together shows on no "
          "single point");
    }
  }
  mark_runs(chart, options.questions);
  return chart;
}

}  // namespace lastlook::analytics
