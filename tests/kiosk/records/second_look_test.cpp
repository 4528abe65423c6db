// SPDX-License-Identifier: Apache-2.0
// Second looks in the rows: beside production, never in it.
#include <sstream>

#include "kiosk/records/audit.h"
#include "kiosk/records/second_look_queries.h"
#include "kiosk/records/unit_queries.h"
#include "kiosk/records/unit_story.h"
#include "tests/kiosk/records/station.h"

namespace lastlook::records {
namespace {

using domain::Disposition;
using ::testing::ElementsAre;
using ::testing::IsEmpty;
using testing::must;

class SecondLookRows : public ::testing::Test {
 protected:
  std::vector<std::string> on_disk(const std::string& text) {
    return testing::sql(station.folder.path() / "records.db", text);
  }
  std::string counts() {
    std::string all;
    for (const auto& row : on_disk("SELECT * FROM count_look")) all += row + "\n";
    for (const auto& row : on_disk("SELECT * FROM count_defect")) all += row + "\n";
    return all;
  }
  void draw(const std::string& look, Disposition disposition) {
    station.happen(domain::SecondLookDrawn{look, disposition, 0.25, 0.125});
  }
  void look_again(const std::string& id, const std::string& of, Disposition disposition,
                  bool with_finding) {
    station.open_second(id, "1", of);
    if (with_finding)
      station.happen(domain::FindingAdded{
          id, id + "-f", "seal", "not_seated", domain::Severity::major, {}, "", ""});
    station.happen(domain::LookClosed{id, disposition, "", ""});
  }
  testing::Station station;
};

TEST_F(SecondLookRows, TheUnitsStoryHasItOnceItIsDoneAndSaysWhereTheUnitIsUntilThen) {
  station.look("k-1", "1", 1, Disposition::accept);
  draw("k-1", Disposition::accept);
  const auto story = [&] { return must(unit_story(*station.records, "1")).value(); };
  EXPECT_EQ(story().now.state, "held_back");
  EXPECT_EQ(story().now.why, "second_look");
  station.open_second("k-2", "1", "k-1");
  EXPECT_EQ(story().now.state, "being_looked_at");
  EXPECT_EQ(story().looks.size(), 1U) << "blind while it goes on";
  station.happen(domain::FindingAdded{
      "k-2", "f-1", "seal", "not_seated", domain::Severity::major, {}, "", ""});
  station.happen(domain::LookClosed{"k-2", Disposition::rework, "", ""});
  ASSERT_EQ(story().looks.size(), 2U);
  EXPECT_EQ(story().looks[1].look.second_of, "k-1");
  ASSERT_EQ(story().looks[1].findings.size(), 1U);
  EXPECT_EQ(story().now.state, "on_hold");
  EXPECT_EQ(story().now.why, "looks_differ");
  EXPECT_EQ(must(where_is(*station.records, "k-1")).state, "on_hold");
  station.look("k-3", "1", 2, Disposition::rework);
  EXPECT_EQ(story().now.state, "in_rework") << "a person has looked at it";
}

TEST_F(SecondLookRows, NoCountOfProductionMoves) {
  station.look("k-1", "1", 1, Disposition::accept);
  const std::string before = counts();
  draw("k-1", Disposition::accept);
  look_again("k-2", "k-1", Disposition::rework, true);
  EXPECT_EQ(counts(), before);
  const auto unit = must(unit_record(*station.records, "1"));
  ASSERT_EQ(unit.looks.size(), 1U);
  EXPECT_EQ(unit.looks.front().look, "k-1");
}

TEST_F(SecondLookRows, HeldBackUntilTheSecondLookIsOpened) {
  station.look("k-1", "1", 1, Disposition::rework, {{"seal", "not_seated"}});
  EXPECT_FALSE(must(unit_record(*station.records, "1")).second_look);
  draw("k-1", Disposition::rework);
  EXPECT_THAT(on_disk("SELECT look, why FROM waiting"), ElementsAre("k-1|second_look"));
  EXPECT_EQ(must(second_looks_waiting(*station.records)), 1);
  const auto due = must(unit_record(*station.records, "1")).second_look;
  ASSERT_TRUE(due);
  EXPECT_EQ(*due, (domain::SecondLookDue{"k-1", {"p-1"}, 1}));
  look_again("k-2", "k-1", Disposition::accept, false);
  EXPECT_THAT(on_disk("SELECT look, why FROM waiting"), IsEmpty());
  EXPECT_FALSE(must(unit_record(*station.records, "1")).second_look);
}

TEST_F(SecondLookRows, ARejectAfterAnAcceptHoldsTheUnitUntilItsNextLook) {
  station.look("k-1", "1", 1, Disposition::accept);
  draw("k-1", Disposition::accept);
  look_again("k-2", "k-1", Disposition::rework, true);
  EXPECT_THAT(on_disk("SELECT look, why FROM waiting"), ElementsAre("k-2|looks_differ"));
  EXPECT_TRUE(must(unit_record(*station.records, "1")).looks_differ);
  station.open_look("k-3", "1", 2);
  EXPECT_THAT(on_disk("SELECT look, why FROM waiting"), IsEmpty());
  EXPECT_FALSE(must(unit_record(*station.records, "1")).looks_differ);
}

TEST_F(SecondLookRows, ACorrectionOfTheFirstLookSettlesItToo) {
  station.look("k-1", "1", 1, Disposition::accept);
  draw("k-1", Disposition::accept);
  look_again("k-2", "k-1", Disposition::rework, true);
  station.happen(domain::DispositionCorrected{"k-1", 0, Disposition::accept, Disposition::hold,
                                              "looked at by the engineer"});
  EXPECT_THAT(on_disk("SELECT look, why FROM waiting"),
              ElementsAre("k-1|looked at by the engineer"));
}

TEST_F(SecondLookRows, AnAcceptAfterARejectLeavesTheFirstDecision) {
  station.look("k-1", "1", 1, Disposition::scrap, {{"seal", "not_seated"}});
  draw("k-1", Disposition::scrap);
  look_again("k-2", "k-1", Disposition::accept, false);
  EXPECT_THAT(on_disk("SELECT look FROM waiting"), IsEmpty());
  const auto done = must(second_looks_done(*station.records, {}));
  ASSERT_EQ(done.size(), 1U);
  EXPECT_EQ(done[0].first, "scrap");
  EXPECT_EQ(done[0].second, "accept");
  EXPECT_EQ(done[0].rate, 0.25);
  EXPECT_EQ(done[0].serial, "1");
  EXPECT_EQ(done[0].production_date, "2026-11-25");
}

// Corrected between the draw and the second look: what was decided when it was drawn is compared.
TEST_F(SecondLookRows, ACorrectionAfterTheDrawDoesNotEscapeIt) {
  station.look("k-1", "1", 1, Disposition::accept);
  draw("k-1", Disposition::accept);
  station.happen(
      domain::DispositionCorrected{"k-1", 0, Disposition::accept, Disposition::hold, "seen_later"});
  look_again("k-2", "k-1", Disposition::rework, true);
  const auto done = must(second_looks_done(*station.records, {}));
  ASSERT_EQ(done.size(), 1U);
  EXPECT_EQ(done[0].first, "accept");
  EXPECT_THAT(on_disk("SELECT look, why FROM waiting"), ElementsAre("k-1|seen_later"));
}

TEST_F(SecondLookRows, WhatCannotHaveHappenedIsRefused) {
  station.open_look("k-1", "1", 1);
  const auto refused = [&](const domain::Happening& happening) {
    const Status done = station.try_one(happening);
    return !done && done.error().category == Category::refused;
  };
  EXPECT_TRUE(refused(domain::SecondLookDrawn{"k-1", Disposition::accept, 0.5, 0.1}));
  station.happen(domain::LookClosed{"k-1", Disposition::accept, "", ""});
  domain::LookOpened second;
  second.look = "k-2";
  second.serial = "1";
  second.second_of = "k-1";
  EXPECT_TRUE(refused(second));  // not drawn
  draw("k-1", Disposition::accept);
  EXPECT_TRUE(refused(domain::SecondLookDrawn{"k-1", Disposition::accept, 0.5, 0.1}));
  look_again("k-2", "k-1", Disposition::accept, false);
  second.look = "k-3";
  EXPECT_TRUE(refused(second));  // done already
  EXPECT_TRUE(refused(domain::SecondLookDrawn{"k-2", Disposition::accept, 0.5, 0.1}));
}

TEST_F(SecondLookRows, ARebuildMakesTheSameRows) {
  station.look("k-1", "1", 1, Disposition::accept);
  draw("k-1", Disposition::accept);
  look_again("k-2", "k-1", Disposition::rework, true);
  std::ostringstream before, after;
  must(dump(station.records->store(), before));
  must(rebuild(*station.records));
  must(dump(station.records->store(), after));
  EXPECT_EQ(after.str(), before.str());
  EXPECT_THAT(before.str(), ::testing::HasSubstr("looks_differ"));
}

// Known at once when the station is opened again: the state is its happenings folded.
TEST_F(SecondLookRows, AnOpenOneIsAmongTheUnfinished) {
  station.look("k-1", "1", 1, Disposition::accept);
  draw("k-1", Disposition::accept);
  station.open_second("k-2", "1", "k-1");
  station.reopen();
  bool found = false;
  for (const Entry& entry : must(unfinished_entries(*station.records))) {
    const auto happening = must(decode(entry));
    const auto* opened = std::get_if<domain::LookOpened>(&happening);
    found = found || (opened && opened->second_of == "k-1");
  }
  EXPECT_TRUE(found);
}

}  // namespace
}  // namespace lastlook::records
