// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/theme.h"

#include <gtest/gtest.h>

namespace lastlook::screens {
namespace {

TEST(Contrast, IsThePublishedRatio) {
  // WCAG 2.1, contrast ratio: black on white is 21, equal colours are 1.
  EXPECT_NEAR(contrast({0, 0, 0}, {255, 255, 255}), 21.0, 1e-9);
  EXPECT_NEAR(contrast({90, 90, 90}, {90, 90, 90}), 1.0, 1e-9);
  // The lightest grey that reaches 4.5 on white is #767676 (W3C, understanding 1.4.3; from memory).
  EXPECT_GE(contrast({0x76, 0x76, 0x76}, {255, 255, 255}), 4.5);
  EXPECT_LT(contrast({0x77, 0x77, 0x77}, {255, 255, 255}), 4.5);
}

class Themes : public testing::TestWithParam<const Theme*> {};

TEST_P(Themes, HaveSevenToOneInEveryTextPair) {
  for (int i = 0; i < static_cast<int>(Say::count_); ++i) {
    const Pair pair = pair_of(static_cast<Say>(i));
    EXPECT_GE(contrast((*GetParam())[pair.text], (*GetParam())[pair.ground]), 7.0) << "pair " << i;
  }
}

TEST_P(Themes, HaveThreeToOneInEveryShape) {
  for (const Pair& pair : shape_pairs())
    EXPECT_GE(contrast((*GetParam())[pair.text], (*GetParam())[pair.ground]), 3.0)
        << static_cast<int>(pair.text) << " on " << static_cast<int>(pair.ground);
}

// The focus is a light line between two dark ones (Canvas::outline_focus).
TEST_P(Themes, ShowTheFocusOnEveryGround) {
  const Rgb light = (*GetParam())[Ink::halo], dark = (*GetParam())[Ink::shade];
  const auto told = [&](Rgb ground) {
    return std::max(contrast(light, ground), contrast(dark, ground));
  };
  EXPECT_GE(contrast(light, dark), 3.0);
  for (int i = 0; i < static_cast<int>(Ink::count_); ++i)
    EXPECT_GE(told((*GetParam())[static_cast<Ink>(i)]), 3.0) << "ink " << i;
  for (int grey = 0; grey < 256; ++grey) {  // any picture's
    const auto c = static_cast<std::uint8_t>(grey);
    EXPECT_GE(told({c, c, c}), 3.0) << "grey " << grey;
  }
}

INSTANTIATE_TEST_SUITE_P(Both, Themes, testing::Values(&light_theme(), &dark_theme()));

}  // namespace
}  // namespace lastlook::screens
