// SPDX-License-Identifier: Apache-2.0
#include "analytics/chart_layout.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace lastlook::analytics {
namespace {

using testing::DoubleNear;
using testing::ElementsAre;
using testing::Pointwise;

TEST(RoundSteps, CoverTheRangeInRoundNumbers) {
  EXPECT_THAT(round_steps(0, 0.48, 6),
              Pointwise(DoubleNear(1e-12), {0.0, 0.1, 0.2, 0.3, 0.4, 0.5}));
  EXPECT_THAT(round_steps(0, 31, 5), Pointwise(DoubleNear(1e-12), {0.0, 10.0, 20.0, 30.0, 40.0}));
  EXPECT_THAT(round_steps(0, 1, 2), Pointwise(DoubleNear(1e-12), {0.0, 1.0}));
}

TEST(Page, WritesOnlyWhereThereIsRoom) {
  const WideSansMeasure measure;
  Page page({200, 100, 14, ""}, measure);
  const Text text{Role::label, {10, 50}, Anchor::start, 14, false, "seal"};
  EXPECT_TRUE(page.try_write(text));
  EXPECT_FALSE(page.try_write(text));
  EXPECT_FALSE(page.try_write({Role::label, {195, 20}, Anchor::start, 14, false, "seal"}));
  page.keep_free({0, 70, 200, 30});
  EXPECT_FALSE(page.try_write({Role::label, {10, 90}, Anchor::start, 14, false, "seal"}));
  EXPECT_EQ(page.finish("").marks.size(), 1U);
}

}  // namespace
}  // namespace lastlook::analytics
