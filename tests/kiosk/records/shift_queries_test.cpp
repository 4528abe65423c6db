// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/shift_queries.h"

#include "tests/kiosk/records/station.h"

namespace lastlook::records {
namespace {

using domain::Disposition;
using ::testing::ElementsAre;
using testing::must;

constexpr std::int64_t eight_hours_s = 8 * 3600;

std::vector<std::string> pareto(Records& records, const Period& period = {}) {
  std::vector<std::string> lines;
  for (const DefectCount& one : must(defect_counts(records, period)))
    lines.push_back(one.component + "/" + one.defect + " " + std::to_string(one.findings) + " " +
                    std::to_string(one.units));
  return lines;
}

TEST(ShiftQueries, CountFirstLooksFirstPassAndDispositions) {
  testing::Station station;
  station.look("k-1", "1", 1, Disposition::accept);
  station.look("k-2", "2", 1, Disposition::rework, {{"seal", "not_seated"}});
  station.look("k-3", "2", 2, Disposition::accept);
  station.look("k-4", "3", 1, Disposition::scrap, {{"lid", "not_seated"}});
  station.open_look("k-5", "4", 1);  // not closed: does not count
  const LookCounts counts = must(look_counts(*station.records, {}));
  EXPECT_EQ(counts.first_looks, 3);
  EXPECT_EQ(counts.first_pass, 1);
  EXPECT_EQ(counts.looks, 4);
  EXPECT_EQ(counts.accept, 2);
  EXPECT_EQ(counts.rework, 1);
  EXPECT_EQ(counts.hold, 0);
  EXPECT_EQ(counts.scrap, 1);
}

TEST(ShiftQueries, KeepToThePeriodTheShiftTheStationAndTheVariant) {
  testing::Station station;
  station.look("k-1", "1", 1, Disposition::accept);  // early
  station.clock.pass(eight_hours_s);
  station.look("k-2", "2", 1, Disposition::accept);  // late
  station.clock.pass(2 * eight_hours_s);
  station.look("k-3", "3", 1, Disposition::accept);  // early, the next day
  const auto looks = [&](const Period& period) {
    return must(look_counts(*station.records, period)).looks;
  };
  EXPECT_EQ(looks({"2026-11-25", "2026-11-25", "", "", ""}), 2);
  EXPECT_EQ(looks({"2026-11-26", "", "", "", ""}), 1);
  EXPECT_EQ(looks({"", "2026-11-25", "early", "", ""}), 1);
  EXPECT_EQ(looks({"", "", "", "LL-1", "CP-210"}), 3);
  EXPECT_EQ(looks({"", "", "", "LL-2", ""}), 0);
  EXPECT_EQ(looks({"", "", "", "", "CP-210N"}), 0);
}

TEST(ShiftQueries, AnEmptyPeriodCountsNothing) {
  testing::Station station;
  EXPECT_EQ(must(look_counts(*station.records, {})).looks, 0);
  EXPECT_TRUE(must(defect_counts(*station.records, {})).empty());
  EXPECT_TRUE(must(by_shift(*station.records, {})).empty());
}

TEST(ShiftQueries, ShiftsFollowTheDayOfThePlantAndNotTheAlphabet) {
  testing::Station station;
  station.clock.pass(2 * eight_hours_s);
  station.look("k-1", "1", 1, Disposition::accept);  // night, still 25 November
  station.clock.pass(3 * 3600);
  station.look("k-2", "2", 1, Disposition::accept);  // after midnight
  station.clock.pass(5 * 3600);
  station.look("k-3", "3", 1, Disposition::hold);  // early, 26 November
  station.clock.pass(eight_hours_s);
  station.look("k-4", "4", 1, Disposition::hold);  // late
  station.clock.pass(eight_hours_s);
  station.look("k-5", "5", 1, Disposition::hold);  // night
  std::vector<std::string> lines;
  for (const ShiftRow& row : must(by_shift(*station.records, {})))
    lines.push_back(row.production_date + " " + row.shift + " " + std::to_string(row.counts.looks));
  EXPECT_THAT(lines, ElementsAre("2026-11-25 night 2", "2026-11-26 early 1", "2026-11-26 late 1",
                                 "2026-11-26 night 1"));
}

TEST(ShiftQueries, CountAFindingOnceAndAUnitOnceForEachKind) {
  testing::Station station;
  station.look("k-1", "1", 1, Disposition::rework,
               {{"seal", "not_seated"}, {"seal", "not_seated"}, {"lid", "missing"}});
  station.look("k-2", "2", 1, Disposition::rework, {{"seal", "not_seated"}});
  EXPECT_THAT(pareto(*station.records), ElementsAre("lid/missing 1 1", "seal/not_seated 3 2"));
}

TEST(ShiftQueries, TellWhatAShiftWroteForTheNext) {
  testing::Station station;
  station.happen(domain::HandoverNoted{"lamp 2 flickers"});
  station.happen(domain::HandoverNoted{"lids of lot 7 stand high"});
  std::vector<std::string> notes;
  for (const HandoverNote& one : must(handover_notes(*station.records, {})))
    notes.push_back(one.note);
  EXPECT_THAT(notes, ElementsAre("lamp 2 flickers", "lids of lot 7 stand high"));
  EXPECT_THAT(must(handover_notes(*station.records, {"", "2020-01-01", "", "", ""})),
              ::testing::IsEmpty());
}

TEST(ShiftQueries, ListWhatWaitsOldestFirst) {
  testing::Station station;
  station.look("k-1", "1", 1, Disposition::hold, {{"seal", "something_else"}});
  station.open_look("k-2", "2", 1);
  station.happen(domain::LookParked{"k-2", domain::ParkReason::waiting_for_result, ""});
  station.open_under_ticket("k-3", "H-4K7Q");
  station.happen(domain::LookClosed{"k-3", Disposition::hold, "no_tag", ""});
  station.look("k-4", "4", 1, Disposition::accept);
  std::vector<std::string> lines;
  for (const WaitingUnit& one : must(waiting_units(*station.records)))
    lines.push_back(one.serial + one.ticket + " " + one.why + (one.parked ? " parked" : ""));
  EXPECT_THAT(lines, ElementsAre("1 ", "2 waiting_for_result parked", "H-4K7Q no_tag"));
}

}  // namespace
}  // namespace lastlook::records
