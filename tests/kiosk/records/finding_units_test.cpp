// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/finding_units.h"

#include "kiosk/records/unit_story.h"
#include "tests/kiosk/records/station.h"

namespace lastlook::records {
namespace {

using domain::Disposition;
using ::testing::ElementsAre;
using ::testing::IsEmpty;
using testing::must;

std::vector<std::string> lines(Records& records, const Period& period = {}) {
  std::vector<std::string> all;
  for (const FindingUnit& one : must(finding_units(records, period)))
    all.push_back(one.look + " " + one.serial + one.ticket + " " + std::to_string(one.number) +
                  " " + one.component + "/" + one.defect + " " +
                  std::string(to_word(one.disposition)) + (one.held_back ? " held back" : ""));
  return all;
}

TEST(FindingUnits, AreTheLooksThatSawEachFindingFirstNewestFirst) {
  testing::Station station;
  station.look("k-1", "1", 1, Disposition::rework, {{"seal", "not_seated"}, {"lid", "missing"}});
  station.look("k-2", "2", 1, Disposition::accept);
  // The seal is still not seated: the same finding, seen again.
  station.look("k-3", "1", 2, Disposition::scrap, {{"seal", "not_seated"}});
  station.open_under_ticket("k-4", "H-4K7Q");
  station.happen(
      domain::FindingAdded{"k-4", "f", "lid", "missing", domain::Severity::critical, {}, "", ""},
      domain::LookClosed{"k-4", Disposition::hold, "no_tag", ""});
  EXPECT_THAT(lines(*station.records),
              ElementsAre("k-4 H-4K7Q 0 lid/missing hold", "k-1 1 1 lid/missing rework",
                          "k-1 1 1 seal/not_seated rework"));
}

TEST(FindingUnits, LeaveOutWhatWasTakenBackAndWhatIsOpen) {
  testing::Station station;
  station.open_look("k-1", "1", 1);
  station.happen(
      domain::FindingAdded{"k-1", "f", "lid", "missing", domain::Severity::major, {}, "", ""},
      domain::FindingWithdrawn{"k-1", "f", "a reflection"},
      domain::LookClosed{"k-1", Disposition::accept, "", ""});
  station.open_look("k-2", "2", 1);
  station.happen(
      domain::FindingAdded{"k-2", "f", "lid", "missing", domain::Severity::major, {}, "", ""});
  EXPECT_THAT(lines(*station.records), IsEmpty());
}

TEST(FindingUnits, KeepToThePeriodAndAreAsManyAsTheBarsCount) {
  testing::Station station;
  station.look("k-1", "1", 1, Disposition::rework, {{"seal", "not_seated"}});  // early
  station.clock.pass(8 * 3600);
  station.look("k-2", "2", 1, Disposition::rework, {{"seal", "not_seated"}, {"lid", "missing"}});
  const Period late{"2026-11-25", "2026-11-25", "late", "LL-1", "CP-210"};
  EXPECT_THAT(lines(*station.records, late),
              ElementsAre("k-2 2 1 lid/missing rework", "k-2 2 1 seal/not_seated rework"));
  EXPECT_THAT(lines(*station.records, {"2026-11-26", "", "", "", ""}), IsEmpty());
  std::int64_t counted = 0;
  for (const DefectCount& bar : must(defect_counts(*station.records, {}))) counted += bar.findings;
  EXPECT_EQ(static_cast<std::size_t>(counted), lines(*station.records).size());
}

TEST(FindingUnits, SayWhichAreHeldBackUntilTheSecondLookIsDone) {
  testing::Station station;
  station.open_look("k-1", "1", 1);
  station.happen(
      domain::FindingAdded{"k-1", "f", "lid", "missing", domain::Severity::major, {}, "", ""},
      domain::LookClosed{"k-1", Disposition::rework, "", ""},
      domain::SecondLookDrawn{"k-1", Disposition::rework, 0.3, 0.1});
  EXPECT_THAT(lines(*station.records), ElementsAre("k-1 1 1 lid/missing rework held back"));
  domain::LookOpened second;
  second.look = "k-2";
  second.serial = "1";
  second.number = 1;
  second.variant = "CP-210";
  second.revision = 7;
  second.second_of = "k-1";
  station.happen(second);
  EXPECT_THAT(lines(*station.records), ElementsAre("k-1 1 1 lid/missing rework held back"));
  station.happen(domain::LookClosed{"k-2", Disposition::rework, "", ""});
  EXPECT_THAT(lines(*station.records), ElementsAre("k-1 1 1 lid/missing rework"));
}

TEST(StoryOfLook, IsThatOfItsUnitOrOfTheLookAlone) {
  testing::Station station;
  station.look("k-1", "1", 1, Disposition::rework, {{"seal", "not_seated"}});
  station.look("k-2", "1", 2, Disposition::accept);
  EXPECT_EQ(must(story_of_look(*station.records, "k-1")).looks.size(), 2U);
  station.open_under_ticket("k-3", "H-4K7Q");
  station.happen(domain::LookClosed{"k-3", Disposition::hold, "no_tag", ""});
  const UnitStory held = must(story_of_look(*station.records, "k-3"));
  ASSERT_EQ(held.looks.size(), 1U);
  EXPECT_EQ(held.looks[0].look.ticket, "H-4K7Q");
  EXPECT_EQ(held.now.state, "on_hold");
  EXPECT_EQ(held.now.why, "no_tag");
  EXPECT_EQ(story_of_look(*station.records, "k-9").error().category, Category::not_found);
}

}  // namespace
}  // namespace lastlook::records
