// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/darkness.h"

#include <gtest/gtest.h>

namespace lastlook::app {
namespace {

using namespace std::chrono_literals;

TEST(Darkness, FallsWhenNobodyTouchesForLongEnough) {
  Darkness dark(60'000ms);
  EXPECT_FALSE(dark.woken(1'000ms));
  EXPECT_EQ(dark.falls_at(), 61'000ms);
  EXPECT_FALSE(dark.is_dark(60'999ms));
  EXPECT_TRUE(dark.is_dark(61'000ms));
}

TEST(Darkness, TheTouchThatEndsItIsTold) {
  Darkness dark(60'000ms);
  dark.woken(0ms);
  EXPECT_TRUE(dark.woken(70'000ms));
  EXPECT_FALSE(dark.is_dark(70'001ms));
  EXPECT_FALSE(dark.woken(71'000ms)) << "the next one counts";
  EXPECT_EQ(dark.falls_at(), 131'000ms);
}

TEST(Darkness, NeverFallsWhereNoneWasAskedFor) {
  Darkness dark;
  EXPECT_FALSE(dark.is_dark(365 * 24h));
  EXPECT_FALSE(dark.woken(365 * 24h));
}

}  // namespace
}  // namespace lastlook::app
