// SPDX-License-Identifier: Apache-2.0
#include "analytics/concentration_chart.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <random>

#include "analytics/svg.h"
#include "tests/analytics/chart_boxes.h"

namespace lastlook::analytics {
namespace {

using testing::HasSubstr;

const WideSansMeasure kMeasure;

TEST(Gather, FindingsCloseTogetherAreOnePlace) {
  const auto places = gather({{"torn", 0.50, 0.50, 3, false},
                              {"loose", 0.52, 0.50, 1, true},
                              {"loose", 0.10, 0.90, 2, false}},
                             0.045, 0.75);
  ASSERT_EQ(places.size(), 2U);
  EXPECT_EQ(places[0].count, 4);
  EXPECT_EQ(places[0].kind, "torn");
  EXPECT_NEAR(places[0].x, 0.505, 1e-12);  // the middle of four
  EXPECT_TRUE(places[0].severe);
  EXPECT_EQ(places[1].count, 2);
}

TEST(Gather, ReachIsRoundOnThePicture) {
  // 0.05 of the height is 0.025 of the width of a picture twice as wide as high.
  EXPECT_EQ(gather({{"a", 0.5, 0.50, 1, false}, {"a", 0.5, 0.55, 1, false}}, 0.03, 0.5).size(), 1U);
  EXPECT_EQ(gather({{"a", 0.50, 0.5, 1, false}, {"a", 0.55, 0.5, 1, false}}, 0.03, 0.5).size(), 2U);
}

TEST(Gather, Edges) {
  EXPECT_TRUE(gather({}, 0.03, 1).empty());
  EXPECT_TRUE(gather({{"a", 0.5, 0.5, 0, false}}, 0.03, 1).empty());
  EXPECT_DOUBLE_EQ(gather({{"a", 1.7, -1, 1, false}}, 0.03, 1)[0].x, 1);
}

std::vector<PlacedFinding> scattered(int count) {
  std::mt19937 random(11);
  std::uniform_real_distribution<double> place(0, 1);
  std::vector<PlacedFinding> findings;
  for (int i = 0; i < count; ++i) {
    findings.push_back({"connector seal: cut or torn " + std::to_string(i), place(random),
                        place(random), 1 + i % 9, i % 4 == 0});
  }
  return findings;
}

ConcentrationOptions options_of(double width, double height) {
  ConcentrationOptions options;
  options.frame = {width, height, 14, "Where do defects gather?"};
  return options;
}

TEST(ConcentrationChart, TextNeverOverlaps) {
  for (const auto& [width, height] : kSizes) {
    for (const int count : {0, 1, 20, 400})
      expect_clean(concentration_chart(scattered(count), options_of(width, height), kMeasure),
                   kMeasure);
  }
}

TEST(ConcentrationChart, SymbolsLieOnThePicture) {
  ConcentrationOptions options = options_of(800, 450);
  options.picture = "data:image/png;base64,AAAA";
  const Chart chart = concentration_chart(
      {{"torn", 0.25, 0.5, 8, true}, {"loose", 0.75, 0.5, 2, false}}, options, kMeasure);
  ASSERT_TRUE(chart.picture);
  const Box& box = chart.picture->box;
  EXPECT_NEAR(box.height / box.width, 0.75, 1e-9);
  std::vector<Symbol> symbols;
  for (const Mark& mark : chart.marks) {
    if (const auto* symbol = std::get_if<Symbol>(&mark)) symbols.push_back(*symbol);
  }
  ASSERT_EQ(symbols.size(), 2U);
  EXPECT_NEAR(symbols[0].centre.x, box.x + 0.25 * box.width, 1e-9);
  EXPECT_NEAR(symbols[1].centre.x, box.x + 0.75 * box.width, 1e-9);
  EXPECT_NEAR(symbols[0].size, 2 * symbols[1].size, 1e-9);  // area by the count: 8 to 2
  EXPECT_EQ(symbols[0].glyph, Glyph::diamond);
  const std::string svg = to_svg(chart);
  EXPECT_THAT(svg, HasSubstr("<image"));
  EXPECT_LT(svg.find("<image"), svg.find("<polygon"));  // under the marks
  EXPECT_THAT(svg, HasSubstr("8  torn"));
}

}  // namespace
}  // namespace lastlook::analytics
