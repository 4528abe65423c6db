// SPDX-License-Identifier: Apache-2.0
#include "analytics/score_track.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/analytics/chart_boxes.h"

namespace lastlook::analytics {
namespace {

using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::Not;

const WideSansMeasure kMeasure;

Chart draw(const std::vector<ScorePoint>& points, double width = 800, double height = 400) {
  return score_track(points, {{width, height, 14, "How surely"}, "Not judged yet"}, kMeasure);
}

std::vector<Symbol> symbols(const Chart& chart) {
  std::vector<Symbol> all;
  for (const Mark& mark : chart.marks)
    if (const auto* symbol = std::get_if<Symbol>(&mark)) all.push_back(*symbol);
  return all;
}

std::vector<Polyline> lines(const Chart& chart) {
  std::vector<Polyline> all;
  for (const Mark& mark : chart.marks)
    if (const auto* line = std::get_if<Polyline>(&mark)) all.push_back(*line);
  return all;
}

TEST(ScoreTrack, HeightIsInProportionToTheScore) {
  const auto drawn = symbols(draw({{"a", 1, "m", ""}, {"b", .5, "m", ""}, {"c", 0, "m", ""}}));
  ASSERT_EQ(drawn.size(), 3U);
  EXPECT_NEAR(drawn[1].centre.y - drawn[0].centre.y, drawn[2].centre.y - drawn[1].centre.y, 1e-9);
  EXPECT_LT(drawn[0].centre.y, drawn[2].centre.y);
  EXPECT_NEAR(drawn[1].centre.x - drawn[0].centre.x, drawn[2].centre.x - drawn[1].centre.x, 1e-9);
}

TEST(ScoreTrack, WhatWasWrongIsMarkedAndSaid) {
  const Chart chart = draw({{"a", .9, "m", ""}, {"b", .2, "m", "Lid"}});
  const auto drawn = symbols(chart);
  EXPECT_EQ(drawn[0].role, Role::series);
  EXPECT_EQ(drawn[1].role, Role::signal);
  EXPECT_NE(drawn[1].glyph, drawn[0].glyph);
  EXPECT_THAT(texts_of(chart, Role::signal), ElementsAre("Lid"));
}

TEST(ScoreTrack, ANewPhaseBreaksTheLine) {
  const Chart chart = draw(
      {{"a", .9, "m-1", ""}, {"b", .8, "m-1", ""}, {"c", .9, "m-2", ""}, {"d", .9, "m-2", ""}});
  ASSERT_EQ(lines(chart).size(), 2U);
  EXPECT_EQ(lines(chart)[0].points.size(), 2U);
  EXPECT_THAT(texts_of(chart, Role::phase), ElementsAre("m-1", "m-2"));
}

TEST(ScoreTrack, ManyPointsStayClean) {
  std::vector<ScorePoint> points;
  for (int i = 0; i < 120; ++i)
    points.push_back({"2026-11-" + std::to_string(10 + i % 20), .9 - .005 * i,
                      "teaching " + std::to_string(i / 30), i % 7 == 0 ? "Connector seal" : ""});
  for (const double width : {320.0, 800.0}) expect_clean(draw(points, width), kMeasure);
}

TEST(ScoreTrack, SaysWhenThereIsNothing) {
  const Chart chart = draw({});
  EXPECT_THAT(texts_of(chart, Role::note), Contains("Not judged yet"));
  EXPECT_TRUE(symbols(chart).empty());
}

}  // namespace
}  // namespace lastlook::analytics
