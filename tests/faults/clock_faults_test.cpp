// SPDX-License-Identifier: Apache-2.0
// The machine's clock is set wrong while people inspect: nothing is refused, nothing is put in
// another order, and the jump is in the journal where doubt can begin.
#include <gmock/gmock.h>

#include "kiosk/records/audit.h"
#include "kiosk/records/unit_queries.h"
#include "tests/kiosk/records/station.h"

namespace lastlook::faults {
namespace {

using records::testing::must;
using ::testing::ElementsAre;
using ::testing::IsEmpty;

constexpr std::int64_t hour_us = 3'600'000'000;
constexpr std::int64_t year_2099_us = 4'070'908'800'000'000;  // 2099-01-01 00:00 UTC, by date(1)

class ClockFaults : public ::testing::Test {
 protected:
  std::vector<std::string> jumps() {
    return records::testing::sql(station.folder.path() / "records.db",
                                 "SELECT json_extract(body, '$.by_us') FROM entry "
                                 "WHERE kind = 'clock_jumped' ORDER BY seq");
  }
  records::testing::Station station;
};

TEST_F(ClockFaults, BackForwardAndTo2099) {
  station.look("k-1", "1", 1, domain::Disposition::accept);
  station.clock.now.wall_us -= hour_us;
  station.look("k-2", "2", 1, domain::Disposition::accept);
  station.clock.now.wall_us += 25 * hour_us;
  station.look("k-3", "3", 1, domain::Disposition::accept);
  const std::int64_t to_2099 = year_2099_us - station.clock.now.wall_us;
  station.clock.now.wall_us = year_2099_us;
  station.look("k-4", "4", 1, domain::Disposition::hold);
  station.clock.now.wall_us -= to_2099;
  station.look("k-5", "5", 1, domain::Disposition::accept);

  EXPECT_THAT(jumps(), ElementsAre(std::to_string(-hour_us), std::to_string(25 * hour_us),
                                   std::to_string(to_2099), std::to_string(-to_2099)));
  station.reopen();
  EXPECT_THAT(must(records::verify(station.folder.path())).faults, IsEmpty());
  EXPECT_THAT(records::testing::sql(station.folder.path() / "records.db",
                                    "SELECT json_extract(body, '$.look') FROM entry "
                                    "WHERE kind = 'look_closed' ORDER BY seq"),
              ElementsAre("k-1", "k-2", "k-3", "k-4", "k-5"));
}

TEST_F(ClockFaults, AUnitLookedAtUnderAWrongClockKeepsTheOrderOfItsLooks) {
  station.look("k-1", "1", 1, domain::Disposition::rework);
  station.clock.now.wall_us -= 24 * hour_us;
  station.look("k-2", "1", 2, domain::Disposition::accept);
  const auto unit = must(records::unit_record(*station.records, "1"));
  ASSERT_EQ(unit.looks.size(), 2U);
  EXPECT_EQ(unit.looks[0].disposition, domain::Disposition::rework);
  EXPECT_EQ(unit.looks[1].disposition, domain::Disposition::accept);
}

}  // namespace
}  // namespace lastlook::faults
