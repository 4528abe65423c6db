// SPDX-License-Identifier: Apache-2.0
#include "analytics/run_rules.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "analytics/zone_rules.h"

namespace lastlook::analytics {
namespace {

constexpr double kTouching = 1e-9;  // closer to a border than this is on it

using Distances = std::vector<std::optional<double>>;

bool beyond(double z, double border) {
  return z > border + kTouching;
}

// A stretch of points without a gap; `first` is the place of z[0] in the chart.
struct Stretch {
  std::size_t first = 0;
  std::vector<double> z;
};

std::vector<Stretch> stretches(const Distances& z, const std::vector<std::size_t>& breaks) {
  std::vector<Stretch> out;
  bool open = false;
  for (std::size_t i = 0; i < z.size(); ++i) {
    if (std::find(breaks.begin(), breaks.end(), i) != breaks.end()) open = false;
    if (!z[i]) {
      open = false;
      continue;
    }
    if (!open) out.push_back({i, {}});
    open = true;
    out.back().z.push_back(*z[i]);
  }
  return out;
}

std::string in_words(const ZoneRule& rule, bool above) {
  const std::string_view side = above ? "above" : "below";
  if (rule.border == 0) return fmt::format("{} in a row {} the centre", rule.needed, side);
  return fmt::format("{} of {} {} {}{} sigma", rule.needed, rule.of, side, above ? "+" : "-",
                     rule.border);
}

void find_zone_runs(const Stretch& s, const ZoneRule& rule, std::vector<RunSignal>& out) {
  for (const bool above : {true, false}) {
    for (std::size_t i = 0; i < s.z.size(); ++i) {
      const auto hit = [&](std::size_t at) {
        return beyond(above ? s.z[at] : -s.z[at], rule.border);
      };
      if (!hit(i)) continue;
      const std::size_t from = i + 1 >= rule.of ? i + 1 - rule.of : 0;
      std::size_t hits = 0;
      std::size_t first = i;
      for (std::size_t at = from; at <= i; ++at) {
        if (!hit(at)) continue;
        if (hits++ == 0) first = at;
      }
      if (hits >= rule.needed) out.push_back({s.first + i, s.first + first, in_words(rule, above)});
    }
  }
}

int direction(double from, double to) {
  if (to > from + kTouching) return 1;
  return to < from - kTouching ? -1 : 0;
}

// Steps that all go one way.
void find_trends(const Stretch& s, std::vector<RunSignal>& out) {
  std::size_t steps = 0;
  int last = 0;
  for (std::size_t i = 1; i < s.z.size(); ++i) {
    const int now = direction(s.z[i - 1], s.z[i]);
    steps = now == 0 ? 0 : now == last ? steps + 1 : 1;
    last = now;
    if (steps >= kStepsOneWay) {
      out.push_back({s.first + i, s.first + i - steps,
                     fmt::format("{} steps {} in a row", kStepsOneWay, now > 0 ? "up" : "down")});
    }
  }
}

// Points whose steps change direction each time: 14 points are 13 steps.
void find_turns(const Stretch& s, std::vector<RunSignal>& out) {
  std::size_t steps = 0;
  int last = 0;
  for (std::size_t i = 1; i < s.z.size(); ++i) {
    const int now = direction(s.z[i - 1], s.z[i]);
    steps = now == 0 ? 0 : now == -last ? steps + 1 : 1;
    last = now;
    if (steps + 1 >= kTurningPoints) {
      out.push_back({s.first + i, s.first + i + 1 - kTurningPoints,
                     fmt::format("{} points up and down by turns", kTurningPoints)});
    }
  }
}

// Points that keep off the middle on both sides, as two mixed streams do.
void find_mixtures(const Stretch& s, std::vector<RunSignal>& out) {
  std::size_t run = 0;
  for (std::size_t i = 0; i < s.z.size(); ++i) {
    run = beyond(std::abs(s.z[i]), 1) ? run + 1 : 0;
    if (run < kMixedPoints) continue;
    const auto from = s.z.begin() + static_cast<std::ptrdiff_t>(i + 1 - kMixedPoints);
    const auto to = s.z.begin() + static_cast<std::ptrdiff_t>(i + 1);
    const bool both = std::any_of(from, to, [](double z) { return z > 0; }) &&
                      std::any_of(from, to, [](double z) { return z < 0; });
    if (both) {
      out.push_back({s.first + i, s.first + i + 1 - kMixedPoints,
                     fmt::format("{} in a row off the middle, on both sides", kMixedPoints)});
    }
  }
}

}  // namespace

std::vector<ZoneRule> zone_rules(Question question) {
  switch (question) {
    case Question::jump:
      return {{2, 3, 2}};
    case Question::drift:
      return {{8, 8, 0}, {4, 5, 1}};
    case Question::cycle:
      return {};
  }
  return {};
}

std::vector<RunSignal> find_runs(const Distances& z, const std::vector<Question>& questions,
                                 const std::vector<std::size_t>& breaks) {
  std::vector<RunSignal> out;
  for (const Stretch& stretch : stretches(z, breaks)) {
    for (const Question question : questions) {
      for (const ZoneRule& rule : zone_rules(question)) find_zone_runs(stretch, rule, out);
      if (question == Question::drift) find_trends(stretch, out);
      if (question == Question::cycle) {
        find_turns(stretch, out);
        find_mixtures(stretch, out);
      }
    }
  }
  std::stable_sort(out.begin(), out.end(),
                   [](const RunSignal& a, const RunSignal& b) { return a.point < b.point; });
  return out;
}

}  // namespace lastlook::analytics
