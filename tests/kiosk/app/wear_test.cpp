// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/wear.h"

namespace lastlook::app {
namespace {

records::PartScore score(std::int64_t at_us, const char* component, const char* conforming,
                         double value) {
  return {at_us, "2026-11-25", "early", "LL-1", "m-1", component, conforming, value};
}

domain::Master lid_and_tag() {
  domain::Master master;
  master.components = {{"lid", "Lid", {}}, {"tag", "Tag", {}}};
  return master;
}

TEST(Wear, OfAGoodPartIsItsWeakestComponent) {
  const auto points = wear_of(lid_and_tag(), {"1", "v", {}},
                              {score(10, "lid", "yes", .9), score(10, "tag", "yes", .7),
                               score(20, "lid", "unsure", .4), score(20, "tag", "yes", .8)});
  ASSERT_EQ(points.size(), 2U);
  EXPECT_DOUBLE_EQ(points[0].score, .7);
  EXPECT_EQ(points[0].wrong, "");
  EXPECT_DOUBLE_EQ(points[1].score, .4);
  EXPECT_EQ(points[1].wrong, "Lid");
  EXPECT_EQ(points[1].phase, "m-1");
}

// What the camera says elsewhere on a faulty part does not matter.
TEST(Wear, OfAFaultyPartIsItsFaultThatIsCaughtLeastSurely) {
  const auto points = wear_of(
      lid_and_tag(), {"1", "v", {"lid"}},
      {score(10, "lid", "no", .1), score(10, "tag", "no", .0), score(20, "lid", "yes", .8)});
  ASSERT_EQ(points.size(), 2U);
  EXPECT_DOUBLE_EQ(points[0].score, .9);
  EXPECT_DOUBLE_EQ(points[1].score, 1 - .8);
  EXPECT_EQ(points[1].wrong, "Lid");
}

}  // namespace
}  // namespace lastlook::app
