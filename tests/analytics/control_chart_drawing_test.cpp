// SPDX-License-Identifier: Apache-2.0
#include "analytics/control_chart_drawing.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <random>

#include "analytics/rare_event.h"
#include "analytics/small_shift.h"
#include "tests/analytics/chart_boxes.h"
#include "tests/analytics/references.h"

namespace lastlook::analytics {
namespace {

using testing::Contains;
using testing::ElementsAre;
using testing::IsSupersetOf;

const WideSansMeasure kMeasure;

Chart draw(const AttributeChart& chart, double width = 800, double height = 450) {
  ControlChartOptions options;
  options.frame = {width, height, 14, "Is it worse than usual?"};
  return control_chart_drawing(chart, options, kMeasure);
}

// NIST/SEMATECH e-Handbook 6.3.3.2.
AttributeChart wafers(const std::vector<Question>& questions = {}) {
  const auto data = references::load("01_attribute_charts.json")["datasets"]["nist_p_chart_wafers"];
  std::vector<ChartSample> samples;
  for (const int count : data["counts"]) {
    samples.push_back({std::to_string(samples.size() + 1), 50, count, "", ""});
  }
  ChartOptions options;
  options.questions = questions;
  return *attribute_chart(samples, options);
}

template <class Kind>
std::vector<Kind> marks(const Chart& chart, Role role) {
  std::vector<Kind> out;
  for (const Mark& mark : chart.marks) {
    const auto* one = std::get_if<Kind>(&mark);
    if (one && one->role == role) out.push_back(*one);
  }
  return out;
}

TEST(ControlChartDrawing, WritesTheReasonBesideThePoint) {
  const Chart chart = draw(wafers());
  EXPECT_THAT(texts_of(chart, Role::signal),
              ElementsAre("above the upper limit", "above the upper limit"));
  const auto diamonds = marks<Symbol>(chart, Role::signal);
  ASSERT_EQ(diamonds.size(), 2U);
  for (std::size_t i = 0; i < 2; ++i) {
    const Box box = box_of(marks<Text>(chart, Role::signal)[i], kMeasure);
    EXPECT_LT(std::abs(box.y + box.height / 2 - diamonds[i].centre.y), 60);
    const double aside =
        std::max(box.x - diamonds[i].centre.x, diamonds[i].centre.x - box.x - box.width);
    EXPECT_LT(aside, 60);
  }
}

TEST(ControlChartDrawing, NamesCentreAndLimits) {
  EXPECT_THAT(texts_of(draw(wafers()), Role::limit), IsSupersetOf({"upper 41.0 %", "lower 5.2 %"}));
  EXPECT_THAT(texts_of(draw(wafers()), Role::centre), ElementsAre("centre 23.1 %"));
}

TEST(ControlChartDrawing, LimitsAreStepsWhereSizesDiffer) {
  const auto chart =
      attribute_chart({{"a", 100, 9, "", ""}, {"b", 400, 40, "", ""}, {"c", 100, 11, "", ""}});
  const auto limits = marks<Polyline>(draw(*chart), Role::limit);
  ASSERT_EQ(limits.size(), 2U);
  EXPECT_EQ(limits[0].points.size(), 6U);
  for (std::size_t i = 1; i < limits[0].points.size(); ++i) {
    const Point& a = limits[0].points[i - 1];
    const Point& b = limits[0].points[i];
    EXPECT_TRUE(a.x == b.x || a.y == b.y);  // only level or upright
  }
}

TEST(ControlChartDrawing, PhasesBreakTheLinesAndCarryTheirNames) {
  std::vector<ChartSample> samples;
  for (int i = 0; i < 20; ++i) {
    samples.push_back({"s", 100, i < 10 ? 20 : 5, i < 10 ? "before" : "with the assist", ""});
  }
  const Chart chart = draw(*attribute_chart(samples));
  EXPECT_EQ(marks<Polyline>(chart, Role::centre).size(), 2U);
  EXPECT_THAT(texts_of(chart, Role::phase), ElementsAre("before", "with the assist"));
}

TEST(ControlChartDrawing, ExcludedPointsAreHollowAndSayWhy) {
  const auto chart = attribute_chart({{"a", 100, 9, "", ""}, {"b", 100, 40, "", "power cut"}});
  const Chart drawing = draw(*chart);
  EXPECT_THAT(texts_of(drawing, Role::excluded), Contains("power cut"));
}

TEST(ControlChartDrawing, ARunThatGoesOnIsNamedOnce) {
  std::vector<ChartSample> samples;
  for (int i = 0; i < 24; ++i) samples.push_back({"s", 100, i < 12 ? 8 : 12, "", ""});
  ChartOptions options;
  options.questions = {Question::drift};
  const Chart chart = draw(*attribute_chart(samples, options));
  EXPECT_THAT(texts_of(chart, Role::signal),
              ElementsAre("8 in a row below the centre", "8 in a row above the centre"));
}

// Seeded random charts with all questions asked, at five sizes.
TEST(ControlChartDrawing, TextNeverOverlapsNorLeavesThePage) {
  std::mt19937 random(20240612);
  for (int round = 0; round < 30; ++round) {
    std::vector<ChartSample> samples;
    const auto count = 1 + random() % 120;
    for (unsigned i = 0; i < count; ++i) {
      const auto n = static_cast<std::int64_t>(random() % 200);
      const std::int64_t found =
          n == 0 ? 0
                 : static_cast<std::int64_t>(random() % static_cast<unsigned>(n + 1) /
                                             (1 + random() % 12));
      samples.push_back({"2024-06-" + std::to_string(i), n, found,
                         "phase " + std::to_string(i / 40), random() % 20 == 0 ? "new batch" : ""});
    }
    ChartOptions options;
    options.kind = round % 2 == 0 ? ChartKind::p : ChartKind::u;
    options.questions = {Question::jump, Question::drift, Question::cycle};
    const auto chart = attribute_chart(samples, options);
    if (!chart) continue;  // a phase with nothing inspected
    for (const auto& [width, height] : kSizes) expect_clean(draw(*chart, width, height), kMeasure);
  }
}

// The charts that come from others: sums, distances in sigmas, what lies between rare events.
TEST(ControlChartDrawing, NeitherInChartsOfSumsOfSigmasAndOfRareEvents) {
  std::mt19937 random(20261125);
  for (int round = 0; round < 12; ++round) {
    std::vector<ChartSample> samples;
    std::vector<RareEvent> events;
    const auto count = 8 + random() % 90;
    for (unsigned i = 0; i < count; ++i) {
      const std::int64_t n = 20 + random() % 300;
      const bool worse = i > count / 2;
      const std::string phase = 2 * i > count ? "checklist revision 8" : "checklist revision 7";
      const std::string excluded = random() % 25 == 0 ? "power cut" : "";
      samples.push_back({"2026-11-" + std::to_string(1 + i / 2) + (i % 2 ? " late" : " early"), n,
                         static_cast<std::int64_t>(random() % (worse ? 40 : 20)), phase, excluded});
      events.push_back(
          {"2026-11-" + std::to_string(i), static_cast<double>(random() % 5000), phase, excluded});
    }
    std::vector<AttributeChart> charts;
    ChartOptions options;
    options.kind = ChartKind::u;
    options.questions = {Question::jump, Question::drift, Question::cycle};
    const auto plain = attribute_chart(samples, options);
    ASSERT_TRUE(plain) << plain.error().message;
    if (auto chart = standardised(*plain)) charts.push_back(*chart);
    for (const SmallShiftKind kind : {SmallShiftKind::ewma, SmallShiftKind::cusum}) {
      SmallShiftOptions sums;
      sums.kind = kind;
      if (auto chart = small_shift_chart(*plain, sums)) charts.push_back(*chart);
    }
    for (const RareKind kind : {RareKind::g, RareKind::t})
      for (const LimitKind limits : {LimitKind::sigma, LimitKind::exact}) {
        RareOptions rare;
        rare.kind = kind;
        rare.limits = limits;
        if (auto chart = rare_event_chart(events, rare)) charts.push_back(*chart);
      }
    EXPECT_GE(charts.size(), 5U);
    for (const AttributeChart& chart : charts)
      for (const auto& [width, height] : kSizes) expect_clean(draw(chart, width, height), kMeasure);
  }
}

TEST(ControlChartDrawing, DrawsOnePointAndNothingFound) {
  expect_clean(draw(*attribute_chart({{"a", 10, 0, "", ""}})), kMeasure);
}

}  // namespace
}  // namespace lastlook::analytics
