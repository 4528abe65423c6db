// SPDX-License-Identifier: Apache-2.0
#include "analytics/pareto_chart.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <random>

#include "tests/analytics/chart_boxes.h"

namespace lastlook::analytics {
namespace {

using testing::Contains;
using testing::HasSubstr;

const WideSansMeasure kMeasure;

ParetoTable table_of(const std::vector<std::pair<std::string, int>>& kinds) {
  ParetoCounter counter;
  for (const auto& [name, count] : kinds) counter.add(name, count);
  return counter.table();
}

Chart draw(const ParetoTable& table, double width = 800, double height = 450) {
  ParetoChartOptions options;
  options.frame = {width, height, 14, "What went wrong most"};
  return pareto_chart(table, options, kMeasure);
}

const std::vector<std::pair<std::string, int>> kMixed = {
    {"seal missing", 90}, {"scratch", 70}, {"lid loose", 12}, {"burr", 8}, {"tag crooked", 4}};

TEST(ParetoChart, WritesCountPercentAndRunningPercentAtTheBar) {
  const Chart chart = draw(table_of(kMixed));
  EXPECT_THAT(texts_of(chart, Role::value), Contains("90"));
  EXPECT_THAT(texts_of(chart, Role::value), Contains("48.9 %"));
  EXPECT_THAT(texts_of(chart, Role::note), Contains("together 87.0 %"));
}

TEST(ParetoChart, BarsAreInProportionAndTheFewAreDark) {
  const std::vector<Bar> drawn = bars(draw(table_of(kMixed)));
  ASSERT_EQ(drawn.size(), 5U);
  EXPECT_NEAR(drawn[1].box.width / drawn[0].box.width, 70.0 / 90, 1e-9);
  EXPECT_EQ(drawn[0].role, Role::few);
  EXPECT_EQ(drawn[1].role, Role::few);
  EXPECT_EQ(drawn[2].role, Role::many);
}

TEST(ParetoChart, WhatDoesNotFitIsAllTheRest) {
  std::vector<std::pair<std::string, int>> kinds;
  for (int i = 0; i < 40; ++i) kinds.emplace_back("kind " + std::to_string(i), 40 - i);
  const Chart chart = draw(table_of(kinds), 600, 300);
  EXPECT_EQ(bars(chart).back().role, Role::rest);
  EXPECT_THAT(texts_of(chart, Role::label), Contains(HasSubstr("all the rest (")));
  expect_clean(chart, kMeasure);
}

TEST(ParetoChart, TellsWhereEachBarLiesAndKeepsRowsHighEnoughForAFinger) {
  std::vector<std::pair<std::string, int>> kinds;
  for (int i = 0; i < 10; ++i) kinds.emplace_back("kind " + std::to_string(i), 40 - i);
  ParetoChartOptions options;
  options.frame = {800, 450, 14, ""};
  options.least_row = 90;
  const ParetoDrawing first = pareto_drawing(table_of(kinds), options, kMeasure);
  ASSERT_EQ(first.rows.size(), 4U);
  ASSERT_EQ(first.boxes.size(), 4U);
  EXPECT_EQ(first.rows[0].name, "kind 0");
  EXPECT_EQ(first.rows[3].name, "all the rest (7 kinds)");
  EXPECT_EQ(first.gathered, 7U);
  const std::vector<Bar> drawn = bars(first.chart);
  for (std::size_t i = 0; i < drawn.size(); ++i) {
    EXPECT_GE(first.boxes[i].height, 90);
    EXPECT_GE(drawn[i].box.y, first.boxes[i].y);
    EXPECT_LE(drawn[i].box.y + drawn[i].box.height, first.boxes[i].y + first.boxes[i].height);
  }
  expect_clean(first.chart, kMeasure);
}

TEST(ParetoChart, GoesOnWithTheRestAsIfNothingHadBeenBetween) {
  std::vector<std::pair<std::string, int>> kinds;
  for (int i = 0; i < 10; ++i) kinds.emplace_back("kind " + std::to_string(i), 40 - i);
  ParetoChartOptions options;
  options.frame = {800, 450, 14, ""};
  options.least_row = 90;
  options.skip = 3;
  const ParetoTable table = table_of(kinds);
  const ParetoDrawing second = pareto_drawing(table, options, kMeasure);
  EXPECT_EQ(second.rows[0].name, "kind 3");
  EXPECT_NEAR(second.rows[0].cumulative_percent, table.rows[3].cumulative_percent, 1e-9);
  EXPECT_EQ(second.gathered, 4U);
  options.skip = 6;
  const ParetoDrawing last = pareto_drawing(table, options, kMeasure);
  EXPECT_EQ(last.rows.size(), 4U);
  EXPECT_EQ(last.gathered, 0U);
  EXPECT_NEAR(last.rows.back().cumulative_percent, 100, 1e-9);
}

TEST(ParetoChart, SaysWhenThereIsNothing) {
  const Chart chart = draw(table_of({}));
  EXPECT_THAT(texts_of(chart, Role::label), Contains("no findings"));
  EXPECT_TRUE(bars(chart).empty());
}

// Seeded random tables with long names, at five sizes.
TEST(ParetoChart, TextNeverOverlapsNorLeavesThePage) {
  std::mt19937 random(20240611);
  for (int round = 0; round < 40; ++round) {
    std::vector<std::pair<std::string, int>> kinds;
    const auto count = 1 + random() % 30;
    for (unsigned i = 0; i < count; ++i) {
      kinds.emplace_back(
          std::string(1 + random() % 40, static_cast<char>('a' + i % 26)) + std::to_string(i),
          static_cast<int>(random() % 5 == 0 ? random() % 2000000 : random() % 30));
    }
    const ParetoTable table = table_of(kinds);
    for (const auto& [width, height] : kSizes) expect_clean(draw(table, width, height), kMeasure);
  }
}

}  // namespace
}  // namespace lastlook::analytics
