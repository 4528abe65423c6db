// SPDX-License-Identifier: Apache-2.0
#include "kiosk/sync/back_off.h"

#include <gmock/gmock.h>

namespace lastlook::sync {
namespace {

using namespace std::chrono_literals;

TEST(BackOff, DoublesFromFiveSecondsToTenMinutes) {
  EXPECT_EQ(wait_after(1, 0.5), 5s);
  EXPECT_EQ(wait_after(2, 0.5), 10s);
  EXPECT_EQ(wait_after(7, 0.5), 320s);
  EXPECT_EQ(wait_after(8, 0.5), 600s);
  EXPECT_EQ(wait_after(1'000'000, 0.5), 600s);
}

TEST(BackOff, IsSpreadByAFifthToEitherSide) {
  EXPECT_EQ(wait_after(1, 0.0), 4s);
  EXPECT_EQ(wait_after(1, 1.0), 6s);
}

}  // namespace
}  // namespace lastlook::sync
