// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/sizes.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace lastlook::screens {
namespace {

TEST(Sizes, MakeATargetTwentyMillimetresOnAnyScreen) {
  for (const float mm_per_px : {0.1F, 0.17F, 0.2F, 0.264F})
    EXPECT_GE(sizes_for(1280, 800, mm_per_px).touch_px * mm_per_px, 20.0F);
}

TEST(Sizes, GrowTypeWithTheWindowButNeverBelowItsMillimetres) {
  EXPECT_GE(sizes_for(1024, 600, 0.2F).text_px * 0.2F, 4.1F);
  EXPECT_GT(sizes_for(1920, 1080, 0.2F).text_px, sizes_for(1280, 800, 0.2F).text_px);
}

TEST(Sizes, ScaleTypeAndNeverTheFinger) {
  const Sizes usual = sizes_for(1280, 800, 0.2F), twice = sizes_for(1280, 800, 0.2F, 2);
  EXPECT_FLOAT_EQ(twice.text_px, 2 * usual.text_px);
  EXPECT_FLOAT_EQ(twice.finger_px, usual.finger_px);
  EXPECT_GE(twice.touch_px, twice.finger_px);
  EXPECT_FLOAT_EQ(twice.gap_px, usual.gap_px);
}

TEST(TextScales, BeginAtWhatIsWantedAndEndAtTheUsualSize) {
  EXPECT_EQ(text_scales(1), std::vector<float>{1});
  const std::vector<float> scales = text_scales(2);
  EXPECT_FLOAT_EQ(scales.front(), 2);
  EXPECT_FLOAT_EQ(scales.back(), 1);
  EXPECT_TRUE(std::is_sorted(scales.rbegin(), scales.rend()));
}

TEST(Fineness, IsWhatWasSetUpElseWhatTheMonitorSaysElseAGuess) {
  EXPECT_FLOAT_EQ(mm_per_px_of(0.25F, 217, 1280), 0.25F);
  EXPECT_NEAR(mm_per_px_of(0, 217, 1280), 0.1695, 1e-3);
  EXPECT_FLOAT_EQ(mm_per_px_of(0, 0, 1280), 0.2F);
  EXPECT_FLOAT_EQ(mm_per_px_of(0, 16000, 1280), 0.2F);
}

}  // namespace
}  // namespace lastlook::screens
