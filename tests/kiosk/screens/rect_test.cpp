// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/rect.h"

#include <gtest/gtest.h>

#include "kiosk/domain/master.h"

namespace lastlook::screens {
namespace {

TEST(Rect, IsCutIntoStripAndRest) {
  Rect rest{10, 20, 100, 50};
  const Rect top = rest.cut_top(15, 5);
  EXPECT_FLOAT_EQ(top.y, 20);
  EXPECT_FLOAT_EQ(top.h, 15);
  EXPECT_FLOAT_EQ(rest.y, 40);
  EXPECT_FLOAT_EQ(rest.h, 30);
  const Rect right = rest.cut_right(30, 10);
  EXPECT_FLOAT_EQ(right.x, 80);
  EXPECT_FLOAT_EQ(rest.right(), 70);
}

TEST(Rect, GivesNoMoreThanItHas) {
  Rect rest{0, 0, 10, 10};
  EXPECT_FLOAT_EQ(rest.cut_bottom(50, 5).h, 10);
  EXPECT_FLOAT_EQ(rest.h, 0);
  EXPECT_FLOAT_EQ(rest.inside(20).w, 0);
}

TEST(Cells, FillTheAreaWithGapsBetween) {
  const auto grid = cells({0, 0, 100, 50}, 3, 2, 10);
  ASSERT_EQ(grid.size(), 6U);
  EXPECT_FLOAT_EQ(grid[0].w, 80.0F / 3);
  EXPECT_FLOAT_EQ(grid[5].right(), 100);
  EXPECT_FLOAT_EQ(grid[5].bottom(), 50);
}

TEST(Fitted, KeepsThePicturesShape) {
  const Rect wide = fitted({0, 0, 100, 300}, 2);
  EXPECT_FLOAT_EQ(wide.w, 100);
  EXPECT_FLOAT_EQ(wide.h, 50);
  EXPECT_FLOAT_EQ(wide.y, 125);
}

TEST(On, PutsFractionsWhereThePictureLies) {
  const Rect place = on({100, 200, 400, 300}, domain::Box{.25, .5, .1, .2});
  EXPECT_FLOAT_EQ(place.x, 200);
  EXPECT_FLOAT_EQ(place.y, 350);
  EXPECT_FLOAT_EQ(place.w, 40);
  EXPECT_FLOAT_EQ(place.h, 60);
}

}  // namespace
}  // namespace lastlook::screens
