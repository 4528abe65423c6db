// SPDX-License-Identifier: Apache-2.0
#include "kiosk/domain/clock.h"

namespace lastlook::domain {
namespace {

TEST(Clock, IsoTimeCarriesTheOffset) {
  EXPECT_EQ(iso_time(0, 0), "1970-01-01T00:00:00+00:00");
  EXPECT_EQ(iso_time(0, -210), "1969-12-31T20:30:00-03:30");
  EXPECT_EQ(iso_time(951782400LL * 1'000'000, 60), "2000-02-29T01:00:00+01:00");
}

TEST(Clock, MicrosecondsBeforeTheEpochStayOnTheirDay) {
  EXPECT_EQ(iso_date(local_time(-1, 0)), "1969-12-31");
}

TEST(Clock, TheForwardClockOnlyGoesForward) {
  SystemClock clock;
  const Reading first = clock.read();
  const Reading second = clock.read();
  EXPECT_GE(second.mono_us, first.mono_us);
  EXPECT_EQ(second.boot, first.boot);
  EXPECT_FALSE(first.boot.empty());
}

}  // namespace
}  // namespace lastlook::domain
