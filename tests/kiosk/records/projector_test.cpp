// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/projector.h"

#include "kiosk/records/shift_queries.h"
#include "kiosk/records/unit_queries.h"
#include "tests/kiosk/records/station.h"

namespace lastlook::records {
namespace {

using domain::Answer;
using domain::Disposition;
using domain::UpstreamTest;
using ::testing::ElementsAre;
using ::testing::IsEmpty;
using testing::must;
using ::testing::SizeIs;

class ProjectorTest : public ::testing::Test {
 protected:
  std::vector<std::string> on_disk(const std::string& text) {
    return testing::sql(station.folder.path() / "records.db", text);
  }
  std::vector<std::string> look_counts_by_quarter() {
    return on_disk(
        "SELECT quarter, looks, first_looks, first_pass, accept, rework, hold, scrap "
        "FROM count_look ORDER BY quarter");
  }
  std::vector<std::string> findings_by_quarter() {
    return on_disk(
        "SELECT quarter, component, defect, findings, units FROM count_defect "
        "ORDER BY quarter, component, defect");
  }
  Category refusal(const domain::Happening& happening) {
    const Status done = station.try_one(happening);
    return done ? Category::io : done.error().category;
  }
  testing::Station station;
};

TEST_F(ProjectorTest, NothingCountsBeforeTheDisposition) {
  station.open_look("k-1", "1", 1);
  station.happen(domain::FindingAdded{
      "k-1", "f-1", "seal", "not_seated", domain::Severity::major, {}, "", ""});
  EXPECT_THAT(look_counts_by_quarter(), IsEmpty());
  EXPECT_THAT(findings_by_quarter(), IsEmpty());
  station.happen(domain::LookClosed{"k-1", Disposition::rework, "", ""});
  EXPECT_THAT(look_counts_by_quarter(), ElementsAre("24|1|1|0|0|1|0|0"));
  EXPECT_THAT(findings_by_quarter(), ElementsAre("24|seal|not_seated|1|1"));
}

TEST_F(ProjectorTest, ACorrectionMovesCountsInTheLooksOwnQuarter) {
  station.look("k-1", "1", 1, Disposition::accept);
  station.clock.pass(3 * 3600);
  station.happen(domain::DispositionCorrected{"k-1", 0, Disposition::accept, Disposition::hold,
                                              "scanned the wrong unit"});
  EXPECT_THAT(look_counts_by_quarter(), ElementsAre("24|1|1|0|0|0|1|0"));
  EXPECT_THAT(on_disk("SELECT look, why FROM waiting"), ElementsAre("k-1|scanned the wrong unit"));
}

TEST_F(ProjectorTest, ACorrectionOfAnotherDispositionIsRefused) {
  station.look("k-1", "1", 1, Disposition::accept);
  EXPECT_EQ(
      refusal(domain::DispositionCorrected{"k-1", 0, Disposition::hold, Disposition::scrap, ""}),
      Category::refused);
  EXPECT_THAT(look_counts_by_quarter(), ElementsAre("24|1|1|1|1|0|0|0"));
}

TEST_F(ProjectorTest, AClosedLookTakesNothingMore) {
  station.look("k-1", "1", 1, Disposition::accept);
  EXPECT_EQ(refusal(domain::StepAnswered{"k-1", "seal", Answer::conforming, {}, ""}),
            Category::refused);
  EXPECT_EQ(refusal(domain::LookClosed{"k-1", Disposition::hold, "", ""}), Category::refused);
  EXPECT_EQ(refusal(domain::LookParked{"k-1", domain::ParkReason::other, ""}), Category::refused);
  EXPECT_EQ(refusal(domain::LookOpened{"k-1", "1", "", "", false, "", 2, "", {}, 7}),
            Category::refused);
}

TEST_F(ProjectorTest, AFindingThatPersistsIsOneFindingWhereItWasFirstSeen) {
  station.look("k-1", "1", 1, Disposition::rework, {{"seal", "not_seated"}});
  station.clock.pass(900);
  station.look("k-2", "1", 2, Disposition::rework, {{"seal", "not_seated"}, {"lid", "missing"}});
  station.clock.pass(900);
  station.look("k-3", "1", 3, Disposition::accept);
  EXPECT_THAT(findings_by_quarter(), ElementsAre("24|seal|not_seated|1|1", "25|lid|missing|1|0"));
  EXPECT_THAT(on_disk("SELECT look, first_look FROM finding WHERE component = 'seal'"),
              ElementsAre("k-1|k-1", "k-2|k-1"));
}

TEST_F(ProjectorTest, AFindingThatWasGoneInBetweenIsANewOne) {
  station.look("k-1", "1", 1, Disposition::rework, {{"seal", "not_seated"}});
  station.look("k-2", "1", 2, Disposition::accept);
  station.look("k-3", "1", 3, Disposition::rework, {{"seal", "not_seated"}});
  EXPECT_THAT(findings_by_quarter(), ElementsAre("24|seal|not_seated|2|1"));
}

TEST_F(ProjectorTest, AWithdrawnFindingDoesNotCountNeitherBeforeNorAfterTheClose) {
  station.open_look("k-1", "1", 1);
  station.happen(
      domain::FindingAdded{"k-1", "f-1", "seal", "not_seated", domain::Severity::major, {}, "", ""},
      domain::FindingWithdrawn{"k-1", "f-1", "a reflection"},
      domain::LookClosed{"k-1", Disposition::accept, "", ""});
  EXPECT_THAT(findings_by_quarter(), IsEmpty());
  station.look("k-2", "2", 1, Disposition::hold, {{"lid", "missing"}});
  station.look("k-3", "2", 2, Disposition::hold, {{"lid", "missing"}});
  station.happen(domain::FindingWithdrawn{"k-2", "k-2-f1", "it was the other unit"});
  EXPECT_THAT(on_disk("SELECT look, withdrawn, first_look FROM finding WHERE component = 'lid'"),
              ElementsAre("k-2|1|", "k-3|0|k-3"));
  EXPECT_THAT(findings_by_quarter(), ElementsAre("24|lid|missing|1|0"));
}

TEST_F(ProjectorTest, ALookUnderATicketCountsAsALookAndNotAsAFirstOne) {
  station.open_under_ticket("k-1", "H-4K7Q");
  station.happen(domain::LookClosed{"k-1", Disposition::hold, "no_tag", ""});
  EXPECT_THAT(look_counts_by_quarter(), ElementsAre("24|1|0|0|0|0|1|0"));
}

TEST_F(ProjectorTest, ALinkedSerialPutsTheLookWhereItWasOpened) {
  station.open_under_ticket("k-1", "H-4K7Q");
  station.happen(domain::LookClosed{"k-1", Disposition::hold, "no_tag", ""});
  station.clock.pass(900);
  station.look("k-2", "1", 1, Disposition::accept);
  EXPECT_THAT(look_counts_by_quarter(), ElementsAre("24|1|0|0|0|0|1|0", "25|1|1|1|1|0|0|0"));
  station.happen(domain::SerialLinked{"k-1", "H-4K7Q", "1", "the tag was in the tray"});
  // The held look was the unit's first one; so the accept was not at the first look.
  EXPECT_THAT(look_counts_by_quarter(), ElementsAre("24|1|1|0|0|0|1|0", "25|1|0|0|1|0|0|0"));
  const auto unit = must(unit_record(*station.records, "1"));
  ASSERT_THAT(unit.looks, SizeIs(2));
  EXPECT_EQ(unit.looks[0].look, "k-1");
  EXPECT_EQ(unit.looks[0].ticket, "H-4K7Q");
  EXPECT_EQ(unit.looks[1].number, 2);
  EXPECT_THAT(must(waiting_units(*station.records)), IsEmpty()) << "it was looked at since";
}

TEST_F(ProjectorTest, ATicketIsLinkedOnce) {
  station.open_under_ticket("k-1", "H-4K7Q");
  station.happen(domain::LookClosed{"k-1", Disposition::hold, "no_tag", ""},
                 domain::SerialLinked{"k-1", "H-4K7Q", "1", ""});
  EXPECT_EQ(refusal(domain::SerialLinked{"k-1", "H-4K7Q", "2", ""}), Category::refused);
}

domain::UpstreamResult result(UpstreamTest test, std::int64_t measured_us, bool passed = true) {
  return {test, passed, "1", measured_us};
}

TEST_F(ProjectorTest, ReworkVoidsTheEarlierResultsThatItsDefectNames) {
  const auto now = [&] { return station.clock.now.wall_us; };
  station.happen(domain::UnitBuilt{
      "1", "CP-210", {result(UpstreamTest::leak, now()), result(UpstreamTest::functional, now())}});
  const auto voided = [&] {
    std::string flags;
    for (const auto& one : must(unit_record(*station.records, "1")).results)
      flags += one.voided ? 'x' : '-';
    return flags;
  };
  station.look("k-1", "1", 1, Disposition::rework, {{"seal", "not_seated"}});  // names leak
  EXPECT_EQ(voided(), "x-");
  station.clock.pass(60);
  station.happen(domain::ResultEntered{"1", result(UpstreamTest::leak, now()), false, "", ""});
  EXPECT_EQ(voided(), "x--") << "measured after the rework, it counts";
  station.happen(
      domain::ResultEntered{"1", result(UpstreamTest::leak, now() - 3'600'000'000), false, "", ""});
  EXPECT_EQ(voided(), "x--x") << "it came late but was measured before";
  station.happen(domain::DispositionCorrected{"k-1", 0, Disposition::rework, Disposition::hold,
                                              "not reworked at all"});
  EXPECT_EQ(voided(), "----");
}

TEST_F(ProjectorTest, AResultThatComesTwiceIsKeptOnce) {
  const domain::UnitBuilt built{"1", "CP-210", {result(UpstreamTest::leak, 5)}};
  station.happen(built, built);
  EXPECT_THAT(must(unit_record(*station.records, "1")).results, SizeIs(1));
}

TEST_F(ProjectorTest, AConcessionIsUsedByAnAcceptAndGivenBackByItsCorrection) {
  station.happen(domain::ConcessionGranted{"C-1", "design office", "CP-210", "lid", "not_seated", 2,
                                           station.clock.now.wall_us + 3'600'000'000});
  station.open_look("k-1", "1", 1);
  station.happen(domain::LookClosed{"k-1", Disposition::accept, "", "C-1"});
  const auto used = [&] {
    return must(concessions(*station.records, station.clock.now.wall_us)).at(0).used;
  };
  EXPECT_EQ(used(), 1);
  EXPECT_THAT(look_counts_by_quarter(), ElementsAre("24|1|1|0|1|0|0|0")) << "never first-pass";
  station.happen(
      domain::DispositionCorrected{"k-1", 0, Disposition::accept, Disposition::hold, ""});
  EXPECT_EQ(used(), 0);
  station.clock.pass(2 * 3600);
  EXPECT_THAT(must(concessions(*station.records, station.clock.now.wall_us)), IsEmpty());
}

TEST_F(ProjectorTest, AHoldWaitsUntilTheUnitIsLookedAtAgain) {
  station.look("k-1", "1", 1, Disposition::hold);
  EXPECT_THAT(must(waiting_units(*station.records)), SizeIs(1));
  station.open_look("k-2", "1", 2);
  EXPECT_THAT(must(waiting_units(*station.records)), IsEmpty());
}

TEST_F(ProjectorTest, AParkedUnitWaitsUntilItIsResumed) {
  station.open_look("k-1", "1", 1);
  station.happen(domain::LookParked{"k-1", domain::ParkReason::shift_change, ""});
  ASSERT_THAT(must(waiting_units(*station.records)), SizeIs(1));
  EXPECT_TRUE(must(unit_record(*station.records, "1")).looks.at(0).parked);
  station.happen(domain::LookResumed{"k-1"});
  EXPECT_THAT(must(waiting_units(*station.records)), IsEmpty());
}

TEST_F(ProjectorTest, ADisputedSerialHoldsWhatWasAcceptedToo) {
  station.look("k-1", "1", 1, Disposition::accept);
  station.open_under_ticket("k-2", "H-4K7Q");
  station.happen(domain::SerialDisputed{"1", "k-2", "k-1"});
  EXPECT_TRUE(must(unit_record(*station.records, "1")).disputed);
  const auto waiting = must(waiting_units(*station.records));
  ASSERT_THAT(waiting, SizeIs(1));
  EXPECT_EQ(waiting[0].look, "k-1");
  EXPECT_EQ(waiting[0].why, "two_with_one_serial");
}

TEST_F(ProjectorTest, ACorrectedAnswerKeepsTheFirst) {
  station.open_look("k-1", "1", 1);
  station.happen(
      domain::StepAnswered{"k-1", "seal", Answer::nonconforming, Answer::not_answered, "absent"},
      domain::StepAnswered{"k-1", "seal", Answer::conforming, Answer::nonconforming, "present"});
  EXPECT_THAT(on_disk("SELECT answer, first_answer, opinion_shown, corrections FROM step_answer"),
              ElementsAre("conforming|nonconforming|absent|1"));
}

TEST_F(ProjectorTest, TheNewestOpinionOfALookStands) {
  station.open_look("k-1", "1", 1);
  domain::ComponentOpinion seal;
  seal.component = "seal";
  seal.conforming = "no";
  station.happen(domain::OpinionGiven{"k-1", 1, "m-1", "", {seal}});
  seal.conforming = "yes";
  station.happen(domain::OpinionGiven{"k-1", 2, "m-1", "", {seal}});
  EXPECT_THAT(on_disk("SELECT frame, conforming FROM opinion"), ElementsAre("2|yes"));
}

}  // namespace
}  // namespace lastlook::records
