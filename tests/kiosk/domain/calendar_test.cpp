// SPDX-License-Identifier: Apache-2.0
#include "kiosk/domain/calendar.h"

#include "tests/kiosk/domain/plant.h"

namespace lastlook::domain {
namespace {

// 2026-11-25 00:00 UTC, by `date -u -d @1795564800`.
constexpr std::int64_t midnight_us = 1795564800LL * 1'000'000;
constexpr std::int64_t hour_us = 3600LL * 1'000'000;

ShiftOfDay at(std::int64_t utc_us, int offset_min) {
  return shift_of(testing::small_plant(), {utc_us, 0, "", offset_min});
}

TEST(Calendar, EarlyShiftStartsOnItsMinute) {
  EXPECT_EQ(at(midnight_us + 5 * hour_us, 60), (ShiftOfDay{"2026-11-25", "early", 24}));
  EXPECT_EQ(at(midnight_us + 5 * hour_us - 1, 60), (ShiftOfDay{"2026-11-24", "night", 23}));
}

TEST(Calendar, NightShiftKeepsTheDateOnWhichItsProductionDayBegan) {
  EXPECT_EQ(at(midnight_us + 22 * hour_us, 60), (ShiftOfDay{"2026-11-25", "night", 92}));
  EXPECT_EQ(at(midnight_us + 25 * hour_us, 60), (ShiftOfDay{"2026-11-25", "night", 8}));
}

TEST(Calendar, HalfHourTimeZonesCount) {
  EXPECT_EQ(at(midnight_us + 30 * 60'000'000LL, 330), (ShiftOfDay{"2026-11-25", "early", 24}));
}

TEST(Calendar, ADayEndsAtItsLocalMidnight) {
  EXPECT_EQ(end_of_day("2026-11-24", 0), midnight_us);
  EXPECT_EQ(end_of_day("2026-11-24", 60), midnight_us - hour_us);
  EXPECT_EQ(end_of_day("2026-11-24", -330), midnight_us + 330 * 60'000'000LL);
  EXPECT_EQ(end_of_day("2026-11-31", 0), std::nullopt);
  EXPECT_EQ(day_after(midnight_us, 0, 0), "2026-11-25");
  EXPECT_EQ(day_after(midnight_us, -60, 0), "2026-11-24");
  EXPECT_EQ(day_after(midnight_us, 0, 100), "2027-03-05");  // by `date -d '2026-11-25 +100 days'`
}

TEST(Calendar, APlantWithoutShiftsStillHasADate) {
  EXPECT_EQ(shift_of(Master{}, {midnight_us, 0, "", 0}), (ShiftOfDay{"2026-11-25", "", 0}));
}

}  // namespace
}  // namespace lastlook::domain
