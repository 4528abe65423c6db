// SPDX-License-Identifier: Apache-2.0
// Rules 1, 2 and 5 of the trade (common practice): no tag, variant before tag, returns and twins.
#include "tests/kiosk/flows/testing/desk.h"

namespace lastlook::flows {
namespace {

using namespace testing;
using ::testing::ElementsAre;
using ::testing::IsEmpty;

TEST(Opening, AFreshSerialOpensItsFirstLookWithTheVariantOfTheBuildRecord) {
  Desk desk = Desk::with_inspector();
  const Outcome outcome = desk.give(Scan{code_a});
  const auto* opened = only<LookOpened>(outcome);
  ASSERT_TRUE(opened);
  EXPECT_EQ(opened->serial, unit_a);
  EXPECT_EQ(opened->code, code_a);
  EXPECT_EQ(opened->tag_type, "CP210");
  EXPECT_EQ(opened->number, 1);
  EXPECT_EQ(opened->revision, 7);
  EXPECT_EQ(opened->variant_source, VariantSource::build_record);
  EXPECT_EQ(desk.state.open->variant, "CP-210");
  EXPECT_EQ(desk.state.open->steps.size(), 3U);
}

TEST(Opening, ATypedSerialLacksThePrefixAndSaysThatItWasTyped) {
  Desk desk = Desk::with_inspector();
  const Outcome outcome = desk.give(Scan{unit_a, true});
  const auto* opened = only<LookOpened>(outcome);
  ASSERT_TRUE(opened);
  EXPECT_TRUE(opened->typed);
  EXPECT_EQ(opened->tag_type, "");
  EXPECT_EQ(opened->serial, unit_a);
}

TEST(Opening, AStrangeCodeOpensNothing) {
  Desk desk = Desk::with_inspector();
  const Outcome outcome = desk.give(Scan{"4006381333931"});
  EXPECT_EQ(outcome.notices, (std::vector<Notice>{{"code_not_read", {"4006381333931"}}}));
  EXPECT_THAT(outcome.happenings, IsEmpty());
}

TEST(Opening, WhateverAScannerSendsIsFitToBeShown) {
  Desk desk = Desk::with_inspector();
  const Outcome outcome = desk.give(Scan{std::string("\x01\xff") + std::string(500, 'x')});
  ASSERT_EQ(said(outcome), "code_not_read");
  EXPECT_EQ(outcome.notices[0].subjects[0], "??" + std::string(118, 'x'));
}

TEST(Opening, WithoutMasterDataNoUnitIsLookedAt) {
  Desk desk = Desk::with_inspector();
  desk.state.master = {};
  EXPECT_EQ(desk.refusal(Scan{code_a}), Category::refused);
  EXPECT_EQ(desk.refusal(NoReadableTag{}), Category::refused);
}

// --- variant -------------------------------------------------------------------------------------

TEST(Opening, WithoutABuildRecordTheBodySaysTheVariantBeforeTheTagDoes) {
  Desk desk = Desk::with_inspector();
  desk.give(Scan{"CP210-26330-00777"});
  EXPECT_EQ(stage_of(desk.state), Stage::confirm_variant);
  EXPECT_EQ(desk.refusal(AnswerStep{"seal"}), Category::refused);
  EXPECT_EQ(desk.refusal(ConfirmVariant{"CP-999"}), Category::bad_input);
  EXPECT_EQ(said(desk.give(ConfirmVariant{"CP-210"})), "");
  EXPECT_EQ(stage_of(desk.state), Stage::step);
}

TEST(Opening, ATagOfAnotherVariantIsSaidOnceTheBodyIsKnown) {
  Desk desk = Desk::with_inspector();
  EXPECT_EQ(said(desk.give(Scan{"CP210-26330-00777"})), "");
  const Outcome outcome = desk.give(ConfirmVariant{"CP-210N"});
  EXPECT_EQ(outcome.notices, (std::vector<Notice>{{"other_variant_tag", {"CP210", "CP-210N"}}}));
}

TEST(Opening, ATagAgainstTheBuildRecordIsSaidAtOnce) {
  Desk desk = Desk::with_inspector();
  EXPECT_EQ(said(desk.give(Scan{"CP210N-26330-00001"})), "other_variant_tag");
  EXPECT_EQ(desk.state.open->variant, "CP-210");
}

TEST(Opening, AWronglyConfirmedVariantIsCorrectedUntilAnAnswerRestsOnIt) {
  Desk desk = Desk::with_inspector();
  desk.give(Scan{"26330-00777"});
  desk.give(ConfirmVariant{"CP-210N"});
  desk.give(ConfirmVariant{"CP-210"});
  EXPECT_EQ(desk.state.open->steps[1].step.expected, Expectation::present);
  desk.give(AnswerStep{"seal"});
  EXPECT_EQ(desk.refusal(ConfirmVariant{"CP-210N"}), Category::refused);
  desk.give(AnswerStep{"seal", Answer::not_answered});
  desk.give(ConfirmVariant{"CP-210N"});
  EXPECT_EQ(desk.state.open->variant, "CP-210N");
}

TEST(Opening, TheBuildRecordIsNotOverruledByATouch) {
  Desk desk = Desk::with_open_unit();
  EXPECT_EQ(desk.refusal(ConfirmVariant{"CP-210N"}), Category::refused);
}

TEST(Opening, ABuildRecordOfAVariantThatIsNotOursLeavesTheQuestionToTheInspector) {
  Desk desk = Desk::with_inspector();
  desk.built("26330-00778", "CP-999");
  EXPECT_EQ(said(desk.give(Scan{"26330-00778"})), "variant_not_in_master");
  EXPECT_EQ(stage_of(desk.state), Stage::confirm_variant);
}

// --- no readable tag -----------------------------------------------------------------------------

TEST(Opening, AUnitWithoutAReadableTagIsLookedAtUnderATicket) {
  Desk desk = Desk::with_inspector();
  const Outcome outcome = desk.give(NoReadableTag{});
  const auto* opened = only<LookOpened>(outcome);
  ASSERT_TRUE(opened);
  EXPECT_EQ(opened->serial, "");
  EXPECT_EQ(opened->number, 0);
  EXPECT_EQ(outcome.notices, (std::vector<Notice>{{"under_ticket", {opened->ticket}}}));
  EXPECT_EQ(said(desk.give(NoReadableTag{})), "close_or_park_first");
}

// --- scan while a unit is open -------------------------------------------------------------------

TEST(Opening, TheOpenUnitsOwnTagScannedAgainIsNothing) {
  Desk desk = Desk::with_open_unit();
  const Inspection before = desk.state;
  for (const char* code : {code_a, unit_a, " CP210-26330-00001\r"}) {
    const Outcome outcome = desk.give(Scan{code});
    EXPECT_EQ(said(outcome), "double_scan");
    EXPECT_THAT(outcome.happenings, IsEmpty());
  }
  EXPECT_EQ(desk.state, before);
}

TEST(Opening, AnotherUnitsScanShowsBothAndChangesNothing) {
  Desk desk = Desk::with_open_unit();
  const Inspection before = desk.state;
  const Outcome outcome = desk.give(Scan{code_b});
  EXPECT_EQ(outcome.notices, (std::vector<Notice>{{"other_unit_open", {unit_a, code_b}}}));
  const auto* seen = only<OtherScanSeen>(outcome);
  ASSERT_TRUE(seen);
  EXPECT_EQ(*seen, (OtherScanSeen{before.open->opened.look, unit_a, code_b}));
  EXPECT_EQ(desk.state, before);
}

TEST(Opening, AnotherTagInTheCamerasViewIsOnRecordAndChangesNothing) {
  Desk desk = Desk::with_open_unit();
  const Inspection before = desk.state;
  const std::string look = before.open->opened.look;
  const Outcome outcome = desk.give(OtherTagSeen{look, code_b});
  EXPECT_EQ(outcome.notices, (std::vector<Notice>{{"other_tag_seen", {unit_a, code_b}}}));
  EXPECT_EQ(*only<OtherScanSeen>(outcome), (OtherScanSeen{look, unit_a, code_b}));
  EXPECT_EQ(desk.state, before);
  EXPECT_THAT(desk.give(OtherTagSeen{look, code_a}).notices, IsEmpty());  // the open unit's own
  EXPECT_THAT(desk.give(OtherTagSeen{"k-of-another-look", code_b}).happenings, IsEmpty());
}

TEST(Opening, TheSameSerialOnATagOfAnotherTypeIsAnotherTag) {
  Desk desk = Desk::with_open_unit();
  EXPECT_EQ(said(desk.give(Scan{"CP210N-26330-00001"})), "other_unit_open");
}

TEST(Opening, AnyScanWhileATicketIsOpenShowsTheTicket) {
  Desk desk = Desk::with_inspector();
  desk.give(NoReadableTag{});
  const Outcome outcome = desk.give(Scan{code_a});
  EXPECT_EQ(outcome.notices[0].subjects[0], desk.state.open->opened.ticket);
  EXPECT_THAT(kinds(outcome), ElementsAre("other_scan_seen"));
}

// --- returns and twins ---------------------------------------------------------------------------

class Returning : public ::testing::Test {
 protected:
  Returning() {
    desk.close_with_seal_finding(Disposition::rework);
    first_look = desk.state.last->look;
    desk.pass_seconds(3600);
  }
  Desk desk = Desk::with_open_unit();
  std::string first_look;
};

TEST_F(Returning, ASerialSeenBeforeAsksAndOpensNothing) {
  const Outcome outcome = desk.give(Scan{code_a});
  EXPECT_EQ(outcome.notices, (std::vector<Notice>{{"return_or_twin", {unit_a, "rework", "1"}}}));
  EXPECT_THAT(outcome.happenings, IsEmpty());
  EXPECT_FALSE(desk.state.open);
}

TEST_F(Returning, AReturnStartsTheNextLookAndOverwritesNothing) {
  const Outcome outcome = desk.give(StartReturn{code_a});
  const auto* opened = only<LookOpened>(outcome);
  ASSERT_TRUE(opened);
  EXPECT_EQ(opened->number, 2);
  EXPECT_NE(opened->look, first_look);
  EXPECT_EQ(desk.past.look(first_look).value()->disposition, Disposition::rework);
}

TEST_F(Returning, AReturnOfAUnitNeverSeenIsRefused) {
  EXPECT_EQ(desk.refusal(StartReturn{code_b}), Category::refused);
  EXPECT_EQ(desk.refusal(AnotherBody{code_b}), Category::refused);
}

TEST_F(Returning, AnotherBodyIsHeldUnderATicketAndSoIsTheFirst) {
  const Outcome outcome = desk.give(AnotherBody{code_a});
  ASSERT_THAT(kinds(outcome), ElementsAre("look_opened", "serial_disputed"));
  const auto& disputed = std::get<SerialDisputed>(outcome.happenings[1]);
  EXPECT_EQ(disputed.serial, unit_a);
  EXPECT_EQ(disputed.other_look, first_look);
  EXPECT_EQ(disputed.look, desk.state.open->opened.look);
  EXPECT_EQ(said(outcome), "twin_held");
  EXPECT_TRUE(desk.past.unit(unit_a)->disputed);
  desk.give(ConfirmVariant{"CP-210"});
  desk.answer_all();
  EXPECT_EQ(said(desk.give(Close{Disposition::accept})), "accept_refused");
  const Outcome held = desk.give(Close{Disposition::hold});
  ASSERT_TRUE(only<LookClosed>(held));
  EXPECT_EQ(only<LookClosed>(held)->why, "two_with_one_serial");
}

TEST_F(Returning, ADisputedSerialMayBeLookedAtButIsOnlyHeld) {
  desk.give(AnotherBody{code_a});
  desk.give(Close{Disposition::hold});
  EXPECT_EQ(said(desk.give(Scan{code_a})), "disputed_serial");
  desk.give(StartReturn{code_a});
  desk.answer_all();
  const Outcome outcome = desk.give(Close{Disposition::accept});
  EXPECT_THAT(outcome.obstacles,
              ::testing::Contains(Obstacle{Obstacle::Why::disputed_serial, unit_a}));
  EXPECT_TRUE(desk.state.open);
}

TEST(Opening, JustClosedAndScannedAgainIsNoReturn) {
  Desk desk = Desk::with_open_unit();
  desk.answer_all();
  desk.give(Close{Disposition::accept});
  const Outcome outcome = desk.give(Scan{code_a});
  EXPECT_EQ(outcome.notices, (std::vector<Notice>{{"just_closed", {unit_a, "accept"}}}));
  EXPECT_THAT(outcome.happenings, IsEmpty());
}

TEST(Opening, ASecondLaterThanTheLimitItIsAReturn) {
  Desk desk = Desk::with_open_unit();
  desk.answer_all();
  desk.give(Close{Disposition::accept});
  desk.pass_seconds(desk.state.master.double_scan_s - 1);
  EXPECT_EQ(said(desk.give(Scan{code_a})), "just_closed");
  EXPECT_EQ(said(desk.give(Scan{code_a})), "return_or_twin");
}

TEST(Opening, AClockSetBackMakesNoDoubleScan) {
  Desk desk = Desk::with_open_unit();
  desk.answer_all();
  desk.give(Close{Disposition::accept});
  desk.pass_seconds(-7200);
  EXPECT_EQ(said(desk.give(Scan{code_a})), "return_or_twin");
}

TEST(Opening, AParkedUnitsTagLeadsBackToItsLook) {
  Desk desk = Desk::with_open_unit();
  const std::string look = desk.state.open->opened.look;
  desk.give(Park{ParkReason::needs_advice});
  const std::vector<Notice> expected = {{"parked", {unit_a, "needs_advice", look}}};
  EXPECT_EQ(desk.give(Scan{code_a}).notices, expected);
  EXPECT_EQ(desk.give(StartReturn{code_a}).notices, expected);
}

TEST(Opening, AnotherBodyOfAParkedUnitHoldsBoth) {
  Desk desk = Desk::with_open_unit();
  desk.give(Park{ParkReason::other});
  EXPECT_EQ(said(desk.give(AnotherBody{code_a})), "twin_held");
  EXPECT_TRUE(desk.state.parked[0].disputed);
  EXPECT_TRUE(desk.state.open->disputed);
}

TEST(Opening, AnotherBodyOfTheOpenUnitMakesTheOpenOneAHoldAndWaits) {
  Desk desk = Desk::with_open_unit();
  EXPECT_THAT(kinds(desk.give(AnotherBody{code_a})), ElementsAre("serial_disputed"));
  EXPECT_THAT(kinds(desk.give(AnotherBody{code_a})), IsEmpty());
  EXPECT_EQ(desk.state.open->opened.serial, unit_a);
  desk.answer_all();
  EXPECT_EQ(said(desk.give(Close{Disposition::accept})), "accept_refused");
  EXPECT_EQ(said(desk.give(Close{Disposition::hold})), "");
  EXPECT_EQ(said(desk.give(AnotherBody{code_a})), "twin_held");
}

TEST(Opening, AnotherBodyOfAnotherUnitWaitsForTheOpenOne) {
  Desk desk = Desk::with_open_unit();
  EXPECT_EQ(said(desk.give(AnotherBody{code_b})), "close_or_park_first");
  EXPECT_EQ(said(desk.give(StartReturn{code_b})), "close_or_park_first");
}

TEST(Opening, WhenTheRecordsDoNotAnswerNothingOpens) {
  Desk desk = Desk::with_inspector();
  desk.past.broken = true;
  EXPECT_EQ(desk.refusal(Scan{code_a}), Category::io);
  EXPECT_EQ(desk.refusal(StartReturn{code_a}), Category::io);
  EXPECT_EQ(desk.refusal(AnotherBody{code_a}), Category::io);
}

}  // namespace
}  // namespace lastlook::flows
