// SPDX-License-Identifier: Apache-2.0
#include "analytics/marks.h"

#include <gtest/gtest.h>

namespace lastlook::analytics {
namespace {

const WideSansMeasure kMeasure;

TEST(WideSansMeasure, GrowsWithTextSizeAndWeight) {
  // DejaVu Sans: a digit is 636 units of 1000 wide.
  EXPECT_NEAR(kMeasure.width("1234", 10, false), 25.4, 0.1);
  EXPECT_NEAR(kMeasure.width("1234", 20, false), 50.9, 0.1);
  EXPECT_GT(kMeasure.width("1234", 10, true), kMeasure.width("1234", 10, false));
}

TEST(WideSansMeasure, CountsCharactersNotBytes) {
  EXPECT_DOUBLE_EQ(kMeasure.width("ř", 10, false), 8.5);
  EXPECT_DOUBLE_EQ(kMeasure.width("…", 10, false), 10);
}

TEST(BoxOf, FollowsTheAnchor) {
  Text text;
  text.at = {100, 50};
  text.size = 10;
  text.text = "1234";
  const double width = kMeasure.width("1234", 10, false);
  EXPECT_DOUBLE_EQ(box_of(text, kMeasure).x, 100);
  text.anchor = Anchor::middle;
  EXPECT_DOUBLE_EQ(box_of(text, kMeasure).x, 100 - width / 2);
  text.anchor = Anchor::end;
  EXPECT_DOUBLE_EQ(box_of(text, kMeasure).x, 100 - width);
  EXPECT_DOUBLE_EQ(box_of(text, kMeasure).y, 42);
  EXPECT_DOUBLE_EQ(box_of(text, kMeasure).height, 10.5);
}

TEST(Overlap, TouchingIsNotOverlapping) {
  EXPECT_TRUE(overlap({0, 0, 10, 10}, {9, 9, 10, 10}));
  EXPECT_FALSE(overlap({0, 0, 10, 10}, {10, 0, 10, 10}));
  EXPECT_FALSE(overlap({0, 0, 10, 10}, {0, 10, 10, 10}));
}

TEST(Shortened, KeepsWhatFitsAndNeverCutsACharacter) {
  EXPECT_EQ(shortened("seal", 1000, 12, false, kMeasure), "seal");
  const std::string cut = shortened("těsnění chybí", 60, 12, false, kMeasure);
  EXPECT_LE(kMeasure.width(cut, 12, false), 60);
  EXPECT_THAT(cut, testing::EndsWith("…"));
  EXPECT_THAT(std::string("těsnění chybí"),
              testing::StartsWith(cut.substr(0, cut.size() - std::string("…").size())));
  EXPECT_EQ(shortened("seal", 2, 12, false, kMeasure), "");
}

}  // namespace
}  // namespace lastlook::analytics
