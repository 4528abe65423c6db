// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/unit_queries.h"

#include <set>

#include "tests/kiosk/records/station.h"

namespace lastlook::records {
namespace {

using domain::Disposition;
using ::testing::ElementsAre;
using ::testing::IsEmpty;
using ::testing::MatchesRegex;
using testing::must;
using ::testing::SizeIs;

std::vector<std::string> unfinished_kinds(Records& records) {
  std::vector<std::string> kinds;
  for (const Entry& entry : must(unfinished_entries(records))) kinds.push_back(entry.kind);
  return kinds;
}

TEST(UnitRecord, IsEmptyForASerialNeverSeen) {
  testing::Station station;
  EXPECT_EQ(must(unit_record(*station.records, "1")), (domain::UnitRecord{"1", "", {}, {}, false}));
}

TEST(UnitRecord, TellsWhatTheUnitIsAndWhatWasFound) {
  testing::Station station;
  station.happen(
      domain::UnitBuilt{"1", "CP-210", {{domain::UpstreamTest::leak, false, "7 ml/min", 5}}});
  station.look("k-1", "1", 1, Disposition::rework, {{"seal", "not_seated"}});
  const auto unit = must(unit_record(*station.records, "1"));
  EXPECT_EQ(unit.variant, "CP-210");
  ASSERT_THAT(unit.results, SizeIs(1));
  EXPECT_EQ(unit.results[0].result.value, "7 ml/min");
  ASSERT_THAT(unit.looks, SizeIs(1));
  EXPECT_EQ(unit.looks[0].disposition, Disposition::rework);
  EXPECT_EQ(unit.looks[0].station, "LL-1");
  EXPECT_EQ(unit.looks[0].closed_by, "p-1");
  ASSERT_THAT(unit.looks[0].findings, SizeIs(1));
  EXPECT_EQ(unit.looks[0].findings[0].defect, "not_seated");
}

TEST(PastLook, IsFoundByItsId) {
  testing::Station station;
  station.open_under_ticket("k-1", "H-4K7Q");
  EXPECT_EQ(must(past_look(*station.records, "k-1"))->ticket, "H-4K7Q");
  EXPECT_EQ(must(past_look(*station.records, "k-2")), std::nullopt);
}

TEST(UnfinishedEntries, AreThoseOfOpenAndParkedLooksInJournalOrder) {
  testing::Station station;
  station.open_look("k-9", "9", 1);
  station.happen(domain::LookParked{"k-9", domain::ParkReason::needs_advice, ""});
  station.look("k-1", "1", 1, Disposition::accept);
  station.happen(domain::SignedIn{"p-1", domain::Role::inspector});
  station.open_look("k-2", "2", 1);
  station.happen(domain::StepAnswered{"k-2", "lid", domain::Answer::conforming, {}, ""});
  EXPECT_THAT(unfinished_kinds(*station.records),
              ElementsAre("master_adopted", "look_opened", "look_parked", "signed_in",
                          "look_opened", "step_answered"));
}

TEST(UnfinishedEntries, KeepTheMasterUnderWhichALookWasOpened) {
  testing::Station station;
  station.open_look("k-1", "1", 1);
  domain::Master next = domain::testing::small_plant();
  next.revision = 8;
  station.happen(domain::MasterAdopted{8, text::write_master(next), "p-boss"});
  EXPECT_THAT(unfinished_kinds(*station.records),
              ElementsAre("master_adopted", "look_opened", "master_adopted"));
  station.happen(domain::LookClosed{"k-1", Disposition::hold, "", ""});
  EXPECT_THAT(unfinished_kinds(*station.records), ElementsAre("master_adopted"));
}

TEST(NewIds, AreOfTheirFormAndDiffer) {
  testing::Station station;
  std::set<std::string> seen;
  for (int i = 0; i < 1'000; ++i) seen.insert(new_look_id());
  EXPECT_THAT(seen, SizeIs(1'000));
  EXPECT_THAT(*seen.begin(), MatchesRegex("k-[2-9A-HJ-NP-Z]{20}"));
  EXPECT_THAT(must(new_ticket(*station.records)), MatchesRegex("H-[2-9A-HJ-NP-Z]{4}"));
}

}  // namespace
}  // namespace lastlook::records
