// SPDX-License-Identifier: Apache-2.0
#include "analytics/linear_programme.h"

#include <gtest/gtest.h>

namespace lastlook::analytics {
namespace {

// The textbook's glass factory (Hillier & Lieberman, Introduction to Operations Research, ch. 3):
// 3 x + 5 y with x <= 4, 2 y <= 12, 3 x + 2 y <= 18 has its largest value 36 at (2, 6).
TEST(Largest, TextbookExample) {
  const auto value =
      largest({3, 5, 0, 0, 0}, {{1, 0, 1, 0, 0}, {0, 2, 0, 1, 0}, {3, 2, 0, 0, 1}}, {4, 12, 18});
  ASSERT_TRUE(value);
  EXPECT_NEAR(*value, 36, 1e-9);
}

// Beale's example, on which pivots by the largest gain go round for ever: 1/20.
TEST(Largest, DoesNotCycle) {
  const auto value = largest(
      {0.75, -150, 0.02, -6, 0, 0, 0},
      {{0.25, -60, -0.04, 9, 1, 0, 0}, {0.5, -90, -0.02, 3, 0, 1, 0}, {0, 0, 1, 0, 0, 0, 1}},
      {0, 0, 1});
  ASSERT_TRUE(value);
  EXPECT_NEAR(*value, 0.05, 1e-12);
}

TEST(Largest, EquationsMayRepeatAndHaveNegativeValues) {
  EXPECT_NEAR(*largest({1, 2}, {{1, 1}, {2, 2}, {-1, -1}}, {3, 6, -3}), 6, 1e-9);
}

TEST(Largest, SaysWhatCannotBe) {
  EXPECT_EQ(largest({1, 1}, {{1, 1}, {1, 1}}, {1, 2}).error().category, Category::refused);
  EXPECT_EQ(largest({1, 1}, {{1, -1}}, {1}).error().message, "no largest value");
  EXPECT_EQ(largest({1, 1}, {{1}}, {1}).error().category, Category::bad_input);
}

}  // namespace
}  // namespace lastlook::analytics
