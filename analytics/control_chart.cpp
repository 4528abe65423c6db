// SPDX-License-Identifier: Apache-2.0
#include "analytics/control_chart.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <unordered_map>

#include "analytics/distributions.h"
#include "analytics/multiplicity.h"

namespace lastlook::analytics {
namespace {

constexpr double kSigmas = 3;
constexpr double kRangeOfTwo = 1.128;  // d2 for two values, as printed in the tables

bool is_binomial(ChartKind kind) {
  return kind == ChartKind::p || kind == ChartKind::np || kind == ChartKind::p_prime;
}
bool is_prime(ChartKind kind) {
  return kind == ChartKind::p_prime || kind == ChartKind::u_prime;
}
bool charts_counts(ChartKind kind) {
  return kind == ChartKind::np || kind == ChartKind::c;
}

// Units behind a sample's count; a c chart has one area of opportunity a sample, or none where
// nothing was inspected.
double size_of(const ChartSample& sample, ChartKind kind) {
  if (kind == ChartKind::c) return sample.inspected > 0 ? 1 : 0;
  return static_cast<double>(sample.inspected);
}

Status checked(const std::vector<ChartSample>& samples, const ChartOptions& options) {
  for (const ChartSample& s : samples) {
    if (s.inspected < 0 || s.nonconforming < 0) {
      return fail(Category::bad_input,
                  fmt::format("sample '{}': a count below 0, expected 0 or more", s.name));
    }
    if (is_binomial(options.kind) && s.nonconforming > s.inspected) {
      return fail(
          Category::bad_input,
          fmt::format("sample '{}': {} nonconforming of {} inspected, expected at most as many "
                      "as inspected",
                      s.name, s.nonconforming, s.inspected));
    }
    if (size_of(s, options.kind) == 0 && s.nonconforming > 0) {
      return fail(Category::bad_input, fmt::format("sample '{}': {} found in nothing inspected",
                                                   s.name, s.nonconforming));
    }
  }
  const double most = is_binomial(options.kind) ? 1 : HUGE_VAL;
  if (options.frozen_centre && !(*options.frozen_centre >= 0 && *options.frozen_centre <= most)) {
    return fail(Category::bad_input,
                fmt::format("a frozen centre of {}: expected 0 or more{}", *options.frozen_centre,
                            is_binomial(options.kind) ? " and at most 1" : ""));
  }
  if (is_prime(options.kind) && options.limits == LimitKind::exact) {
    return fail(Category::bad_input,
                "exact limits are for p, np, c and u: the spread of a prime chart "
                "is measured, not exact; expected sigma limits");
  }
  return {};
}

std::vector<ChartPhase> split_phases(const std::vector<ChartSample>& samples) {
  std::vector<ChartPhase> phases;
  for (std::size_t i = 0; i < samples.size(); ++i) {
    if (phases.empty() || samples[i].phase != phases.back().name) {
      phases.push_back({samples[i].phase, 0, 0, 1, i, i, 0});
    }
    phases.back().end = i + 1;
  }
  return phases;
}

double sigma_of(ChartKind kind, double rate, double size) {
  const double variance = is_binomial(kind) ? rate * (1 - rate) : rate;
  return std::sqrt(variance / size);
}

bool counts_for_limits(const ChartSample& sample, ChartKind kind) {
  return sample.excluded.empty() && size_of(sample, kind) > 0;
}

Status find_rate(const std::vector<ChartSample>& samples, const ChartOptions& options,
                 ChartPhase& phase) {
  double found = 0;
  double size = 0;
  for (std::size_t i = phase.first; i < phase.end; ++i) {
    if (!counts_for_limits(samples[i], options.kind)) continue;
    ++phase.counted;
    found += static_cast<double>(samples[i].nonconforming);
    size += size_of(samples[i], options.kind);
  }
  if (phase.counted == 0 && !options.frozen_centre) {
    return fail(Category::refused,
                fmt::format("{}no sample counts, so there is no centre",
                            phase.name.empty() ? "" : "phase '" + phase.name + "': "));
  }
  phase.rate = options.frozen_centre.value_or(size > 0 ? found / size : 0);
  const double mean_size = phase.counted > 0 ? size / static_cast<double>(phase.counted) : 0;
  phase.centre = options.kind == ChartKind::np ? phase.rate * mean_size : phase.rate;
  return {};
}

std::vector<double> distances(const std::vector<ChartSample>& samples, ChartKind kind,
                              const ChartPhase& phase) {
  std::vector<double> z;
  for (std::size_t i = phase.first; i < phase.end; ++i) {
    if (!counts_for_limits(samples[i], kind)) continue;
    const double size = size_of(samples[i], kind);
    const double sigma = sigma_of(kind, phase.rate, size);
    if (sigma > 0)
      z.push_back((static_cast<double>(samples[i].nonconforming) / size - phase.rate) / sigma);
  }
  return z;
}

Status find_spread(const std::vector<ChartSample>& samples, ChartKind kind, ChartPhase& phase) {
  if (!is_prime(kind)) return {};
  if (phase.counted < kLeastForSpread) {
    return fail(
        Category::refused,
        fmt::format(
            "{} too few to measure how the rate wanders: a prime chart needs {}; use a {} "
            "chart",
            phase.counted == 1 ? "1 sample is" : fmt::format("{} samples are", phase.counted),
            kLeastForSpread, kind == ChartKind::p_prime ? "p" : "u"));
  }
  const std::vector<double> z = distances(samples, kind, phase);
  if (const Result<double> spread = spread_of(z)) phase.spread = *spread;
  return {};
}

std::string axis_name(ChartKind kind) {
  switch (kind) {
    case ChartKind::p:
    case ChartKind::p_prime:
      return "nonconforming, percent of inspected";
    case ChartKind::np:
      return "nonconforming units";
    case ChartKind::c:
      return "findings";
    case ChartKind::u:
    case ChartKind::u_prime:
      return "findings a unit";
  }
  return "";
}

struct Limits {
  double lower = 0;
  double upper = 0;
};

// Limits on the chart's own scale, remembered by sample size: exact ones take a search each.
class LimitFinder {
 public:
  LimitFinder(const ChartOptions& options, const ChartPhase& phase)
      : options_(options), phase_(phase) {}

  Limits of(double size) {
    const auto known = by_size_.find(size);
    if (known != by_size_.end()) return known->second;
    return by_size_[size] = options_.limits == LimitKind::exact ? exact(size) : sigma(size);
  }

 private:
  Limits sigma(double size) const {
    const double half = kSigmas * phase_.spread * sigma_of(options_.kind, phase_.rate, size);
    const double most = is_binomial(options_.kind) ? 1 : HUGE_VAL;
    const double scale = charts_counts(options_.kind) ? size : 1;
    return {scale * std::max(0.0, phase_.rate - half), scale * std::min(most, phase_.rate + half)};
  }

  Limits exact(double size) const {
    const double tail = normal_cdf(-kSigmas);
    const double scale = charts_counts(options_.kind) ? 1 : size;
    const auto quantile = [&](double probability) {
      return static_cast<double>(
          is_binomial(options_.kind)
              ? binomial_quantile(probability, static_cast<std::int64_t>(size), phase_.rate)
              : poisson_quantile(probability, phase_.rate * size));
    };
    return {quantile(tail) / scale, quantile(1 - tail) / scale};
  }

  const ChartOptions& options_;
  const ChartPhase& phase_;
  std::unordered_map<double, Limits> by_size_;
};

ChartPoint point_of(const ChartSample& sample, ChartKind kind, const ChartPhase& phase,
                    LimitFinder& finder) {
  ChartPoint point;
  point.sample = sample.name;
  point.excluded = sample.excluded;
  point.size = size_of(sample, kind);
  if (point.size == 0) return point;
  const Limits limits = finder.of(point.size);
  const double rate = static_cast<double>(sample.nonconforming) / point.size;
  point.value = charts_counts(kind) ? static_cast<double>(sample.nonconforming) : rate;
  point.centre = phase.rate * (charts_counts(kind) ? point.size : 1);
  point.lower = limits.lower;
  point.upper = limits.upper;
  const double sigma = phase.spread * sigma_of(kind, phase.rate, point.size);
  if (sigma > 0) point.z = (rate - phase.rate) / sigma;
  return point;
}

// Beyond a limit by more than the rounding of the arithmetic.
void mark_beyond(ChartPoint& point, std::size_t index) {
  if (!point.value) return;
  const double rounding = 1e-12 * std::max(1.0, std::abs(*point.value));
  if (*point.value > *point.upper + rounding)
    point.signals.push_back({"above the upper limit", index});
  if (*point.value < *point.lower - rounding)
    point.signals.push_back({"below the lower limit", index});
}

void mark_runs(AttributeChart& chart, const std::vector<Question>& questions) {
  std::vector<std::optional<double>> z;
  for (const ChartPoint& point : chart.points) {
    z.push_back(point.excluded.empty() ? point.z : std::nullopt);
  }
  std::vector<std::size_t> breaks;
  for (const ChartPhase& phase : chart.phases) breaks.push_back(phase.first);
  for (RunSignal& run : find_runs(z, questions, breaks)) {
    chart.points[run.point].signals.push_back({std::move(run.reason), run.first});
  }
}

// A count knows nothing of the size behind it. True where that was noted.
bool note_sizes(AttributeChart& chart, const std::vector<ChartSample>& samples,
                const ChartPhase& phase, const std::string& of) {
  if (chart.kind != ChartKind::c) return false;
  std::int64_t least = INT64_MAX;
  std::int64_t most = 0;
  for (std::size_t i = phase.first; i < phase.end; ++i) {
    if (!counts_for_limits(samples[i], chart.kind)) continue;
    least = std::min(least, samples[i].inspected);
    most = std::max(most, samples[i].inspected);
  }
  if (least >= most) return false;
  chart.notes.push_back(
      of + fmt::format("the samples differ in size ({} to {} inspected), which a count does not "
                       "see: chart the findings per unit (u)",
                       least, most));
  return true;
}

void add_notes(AttributeChart& chart, const std::vector<ChartSample>& samples,
               const ChartPhase& phase, bool own_centre) {
  const std::string of = phase.name.empty() ? "" : "phase '" + phase.name + "': ";
  if (own_centre && phase.counted == 1) {
    chart.notes.push_back(
        of +
        "the only sample that counts is its own centre, so it lies within its limits whatever "
        "was found: nothing here says whether it is worse than usual");
  }
  if (phase.rate == 0) {
    chart.notes.push_back(of +
                          "nothing nonconforming, so the limits are 0 and say little: see the "
                          "exact upper limit of the rate");
  }
  if (is_prime(chart.kind)) {
    chart.notes.push_back(
        of + fmt::format("limits are {:.3f} times as wide as a plain chart's", phase.spread));
    return;
  }
  if (note_sizes(chart, samples, phase, of)) return;
  const Result<Overdispersion> wander = overdispersion(distances(samples, chart.kind, phase));
  if (wander && wander->p_value < 0.01 && wander->ratio > 1) {
    chart.notes.push_back(
        of + fmt::format(
                 "the rate wanders {:.1f} times as much as chance explains (chi-squared, {}): look "
                 "for causes, then consider a prime chart",
                 wander->ratio, p_in_words(wander->p_value)));
  }
}

}  // namespace

bool AttributeChart::has_signals() const {
  return std::any_of(points.begin(), points.end(),
                     [](const ChartPoint& point) { return !point.signals.empty(); });
}

std::string words_for(LimitKind limits) {
  return limits == LimitKind::exact ? "exact limits, 0.135 % beyond each"
                                    : "limits at three sigmas";
}

Result<AttributeChart> standardised(const AttributeChart& chart) {
  if (chart.limits == LimitKind::exact) {
    return fail(Category::refused,
                "exact limits are no multiple of a sigma: a standardised chart needs sigma limits");
  }
  AttributeChart out = chart;
  out.axis = "distance from the centre in sigmas";
  out.in_percent = false;
  for (ChartPoint& point : out.points) {
    point.value = point.z;
    point.centre = point.z ? std::optional(0.0) : std::nullopt;
    point.lower = point.z ? std::optional(-kSigmas) : std::nullopt;
    point.upper = point.z ? std::optional(kSigmas) : std::nullopt;
  }
  for (ChartPhase& phase : out.phases) phase.centre = 0;
  return out;
}

Result<double> spread_of(const std::vector<double>& z) {
  if (z.size() < 2) return fail(Category::refused, "one point has no neighbour to differ from");
  double sum = 0;
  for (std::size_t i = 1; i < z.size(); ++i) sum += std::abs(z[i] - z[i - 1]);
  return sum / static_cast<double>(z.size() - 1) / kRangeOfTwo;
}

Result<Overdispersion> overdispersion(const std::vector<double>& z) {
  if (z.size() < 2)
    return fail(Category::refused, "fewer than two samples do not show how they vary");
  double sum = 0;
  for (const double value : z) sum += value * value;
  const auto freedom = static_cast<double>(z.size() - 1);
  return Overdispersion{sum / freedom, chi_squared_upper_tail(sum, freedom)};
}

Result<AttributeChart> attribute_chart(const std::vector<ChartSample>& samples,
                                       const ChartOptions& options) {
  if (samples.empty()) return fail(Category::bad_input, "no samples: expected at least one");
  if (const Status status = checked(samples, options); !status)
    return tl::unexpected(status.error());
  AttributeChart chart;
  chart.kind = options.kind;
  chart.limits = options.limits;
  chart.axis = axis_name(options.kind);
  chart.limits_in_words = words_for(options.limits);
  chart.in_percent = options.kind == ChartKind::p || options.kind == ChartKind::p_prime;
  chart.phases = split_phases(samples);
  for (std::size_t index = 0; index < chart.phases.size(); ++index) {
    ChartPhase& phase = chart.phases[index];
    if (const Status s = find_rate(samples, options, phase); !s) return tl::unexpected(s.error());
    if (const Status s = find_spread(samples, options.kind, phase); !s)
      return tl::unexpected(s.error());
    LimitFinder finder(options, phase);
    for (std::size_t i = phase.first; i < phase.end; ++i) {
      ChartPoint point = point_of(samples[i], options.kind, phase, finder);
      point.phase = index;
      mark_beyond(point, i);
      if (!point.value)
        chart.notes.push_back("sample '" + point.sample + "': nothing inspected, so no value");
      chart.points.push_back(std::move(point));
    }
    add_notes(chart, samples, phase, !options.frozen_centre);
  }
  mark_runs(chart, options.questions);
  return chart;
}

}  // namespace lastlook::analytics
