// SPDX-License-Identifier: Apache-2.0
#include "analytics/size_chart.h"

#include <gmock/gmock.h>

#include "tests/analytics/chart_boxes.h"

namespace lastlook::analytics {
namespace {

using testing::Contains;
using testing::HasSubstr;

std::vector<PlannedSize> sizes() {
  std::vector<PlannedSize> out;
  for (int missed = 0; missed < 12; ++missed)
    out.push_back({missed == 3 ? "as many missed as in the first study, with a long name"
                               : std::to_string(missed) + " missed",
                   59 + 33 * missed, missed == 3});
  return out;
}

TEST(SizeChart, TextNeverOverlaps) {
  const WideSansMeasure measure;
  for (const auto& [width, height] : kSizes) {
    for (const double text : {12.0, 14.0, 22.0}) {
      const Chart chart = size_chart(sizes(), "the miss rate is below 5 % with 95 % confidence",
                                     {width, height, text, "How many units?"}, measure);
      expect_clean(chart, measure);
    }
  }
}

TEST(SizeChart, BarsAreAsLongAsTheSizesSay) {
  const WideSansMeasure measure;
  const Chart chart =
      size_chart({{"one", 100, false}, {"two", 200, true}}, "note", {800, 450, 14, ""}, measure);
  const auto drawn = bars(chart);
  ASSERT_EQ(drawn.size(), 2U);
  EXPECT_NEAR(drawn[1].box.width, 2 * drawn[0].box.width, 1e-9);
  EXPECT_EQ(drawn[1].role, Role::few);
  EXPECT_EQ(chart.description, "two: 200 units.");
}

TEST(SizeChart, SaysHowManyDoNotFit) {
  const WideSansMeasure measure;
  const Chart chart = size_chart(sizes(), "note", {480, 200, 14, "How many units?"}, measure);
  const std::size_t left_out = 12 - bars(chart).size();
  EXPECT_GT(left_out, 0U);
  EXPECT_THAT(texts_of(chart, Role::note),
              Contains(HasSubstr(std::to_string(left_out) + " more do not fit here")));
}

}  // namespace
}  // namespace lastlook::analytics
