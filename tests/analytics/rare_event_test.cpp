// SPDX-License-Identifier: Apache-2.0
#include "analytics/rare_event.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/analytics/references.h"

namespace lastlook::analytics {
namespace {

using nlohmann::json;
using testing::HasSubstr;

std::vector<RareEvent> events_of(const std::vector<double>& between) {
  std::vector<RareEvent> events;
  for (const double x : between) events.push_back({std::to_string(events.size()), x, "", ""});
  return events;
}

RareOptions options(RareKind kind, LimitKind limits) {
  RareOptions out;
  out.kind = kind;
  out.limits = limits;
  return out;
}

// Montgomery, hours between failures of a valve, with their printed powers: distances from the mean
// of those in mean moving ranges by 1.128. Printed to 0.00001, so z is known to 0.00002.
TEST(TChart, ValveFailures) {
  const json data = references::load("11_small_shifts_and_rare_events.json")["valve_failures"];
  std::vector<double> raised;
  for (const json& printed : data["raised"])
    raised.push_back(std::stod(printed.get<std::string>()));
  double mean = 0;
  double range = 0;
  for (std::size_t i = 0; i < raised.size(); ++i) {
    mean += raised[i] / 20;
    if (i > 0) range += std::abs(raised[i] - raised[i - 1]) / 19;
  }
  const auto chart =
      rare_event_chart(events_of(data["hours"]), options(RareKind::t, LimitKind::sigma));
  ASSERT_TRUE(chart);
  for (std::size_t i = 0; i < raised.size(); ++i) {
    EXPECT_NEAR(*chart->points[i].z, (raised[i] - mean) / (range / 1.128), 2e-5);
    EXPECT_TRUE(chart->points[i].signals.empty());  // in control, as the book says
  }
  EXPECT_NEAR(std::pow(chart->centre(), 0.2777), mean, 1e-5);
  EXPECT_DOUBLE_EQ(*chart->points[0].lower, 0);
}

// Exponential quantiles by scipy.stats.expon.ppf([norm.cdf(-3), .5, norm.cdf(3)], scale=100).
TEST(TChart, ExactLimits) {
  const auto chart =
      rare_event_chart(events_of({50, 150, 100, 100}), options(RareKind::t, LimitKind::exact));
  EXPECT_NEAR(*chart->points[0].lower, 0.13508099, 1e-7);
  EXPECT_NEAR(*chart->points[0].centre, 69.3147181, 1e-6);
  EXPECT_NEAR(*chart->points[0].upper, 660.772622, 1e-5);
  EXPECT_NEAR(*chart->points[2].z, 0.33747496, 1e-7);  // norm.ppf(expon.cdf(1))
}

TEST(TChart, EventsCloserTogetherAreWorse) {
  std::vector<double> between(20, 100);
  between.push_back(0.05);
  const auto chart = rare_event_chart(events_of(between), options(RareKind::t, LimitKind::exact));
  ASSERT_EQ(chart->points.back().signals.size(), 1U);
  EXPECT_THAT(chart->points.back().signals[0].reason, HasSubstr("sooner than usual"));
}

// Mean 9: sigma limits 9 +- 3 sqrt(90); exact: scipy.stats.geom.ppf(norm.cdf([-3, 3]), 0.1) - 1.
TEST(GChart, Limits) {
  const auto events = events_of({4, 14, 9});
  const auto sigma = rare_event_chart(events, options(RareKind::g, LimitKind::sigma));
  EXPECT_DOUBLE_EQ(sigma->centre(), 9);
  EXPECT_NEAR(*sigma->points[0].upper, 9 + 3 * std::sqrt(90.0), 1e-12);
  EXPECT_DOUBLE_EQ(*sigma->points[0].lower, 0);
  const auto exact = rare_event_chart(events, options(RareKind::g, LimitKind::exact));
  EXPECT_DOUBLE_EQ(*exact->points[0].upper, 62);
  EXPECT_DOUBLE_EQ(*exact->points[0].lower, 0);
  EXPECT_THAT(exact->notes[0], HasSubstr("lower limit is 0"));
}

TEST(RareEvents, RefuseWhatCannotBeCharted) {
  const auto g = options(RareKind::g, LimitKind::exact);
  EXPECT_EQ(rare_event_chart({}, g).error().category, Category::bad_input);
  EXPECT_EQ(rare_event_chart(events_of({5}), g).error().category, Category::refused);
  EXPECT_EQ(rare_event_chart(events_of({0, 0}), g).error().category, Category::refused);
  EXPECT_THAT(rare_event_chart(events_of({1, 2.5}), g).error().message, HasSubstr("whole"));
  EXPECT_THAT(
      rare_event_chart(events_of({1, -2}), options(RareKind::t, LimitKind::exact)).error().message,
      HasSubstr("0 or more"));
  auto runs = g;
  runs.questions = {Question::drift};
  EXPECT_EQ(rare_event_chart(events_of({1, 2}), runs).error().category, Category::refused);
}

TEST(RareEvents, PhasesAndExclusionsShapeTheirOwnLimits) {
  auto events = events_of({10, 20, 500, 100, 200});
  events[2].excluded = "line stopped";
  events[3].phase = events[4].phase = "after";
  const auto chart = rare_event_chart(events, options(RareKind::g, LimitKind::sigma));
  EXPECT_DOUBLE_EQ(chart->phases[0].centre, 15);
  EXPECT_DOUBLE_EQ(chart->phases[1].centre, 150);
}

}  // namespace
}  // namespace lastlook::analytics
