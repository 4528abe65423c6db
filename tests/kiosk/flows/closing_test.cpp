// SPDX-License-Identifier: Apache-2.0
// Rules 1, 2, 4, 6 and 10 of the trade (common practice): what may leave, what may not.
#include "tests/kiosk/flows/testing/desk.h"

namespace lastlook::flows {
namespace {

using namespace testing;
using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::IsEmpty;
using Why = Obstacle::Why;

const Close to_accept{Disposition::accept};
const Close to_rework{Disposition::rework};
const Close to_hold{Disposition::hold};
const Close to_scrap{Disposition::scrap};
const AddFinding seal_not_seated{"seal", "not_seated"};

TEST(Closing, AConformingUnitIsAcceptedByAPerson) {
  Desk desk = Desk::with_open_unit();
  desk.answer_all();
  EXPECT_EQ(stage_of(desk.state), Stage::verdict) << "all answered, and still open";
  const Outcome outcome = desk.give(to_accept);
  ASSERT_TRUE(only<LookClosed>(outcome));
  EXPECT_EQ(only<LookClosed>(outcome)->disposition, Disposition::accept);
  EXPECT_EQ(stage_of(desk.state), Stage::waiting);
  EXPECT_EQ(desk.state.last->serial, unit_a);
  EXPECT_EQ(desk.refusal(to_accept), Category::refused) << "once";
}

TEST(Closing, NothingAcceptsWhileAStepIsOpen) {
  Desk desk = Desk::with_open_unit();
  desk.give(AnswerStep{"seal"});
  desk.give(AnswerStep{"tag"});
  const Outcome outcome = desk.give(to_accept);
  EXPECT_EQ(said(outcome), "accept_refused");
  EXPECT_THAT(outcome.obstacles, ElementsAre(Obstacle{Why::step_unanswered, "lid"}));
  EXPECT_THAT(outcome.happenings, IsEmpty());
}

TEST(Closing, NothingAcceptsWithAFindingWhateverItsSeverity) {
  Desk desk = Desk::with_open_unit();
  desk.answer_all();
  desk.give(AddFinding{"seal", "not_seated", Severity::minor});
  EXPECT_THAT(desk.give(to_accept).obstacles, ElementsAre(Obstacle{Why::finding_open, "seal"}));
}

TEST(Closing, ScanningAnswersNothingAndClosesNothing) {
  Desk desk = Desk::with_open_unit();
  desk.answer_all();
  for (const char* code : {code_a, code_b, "\r", ""}) desk.give(Scan{code});
  EXPECT_EQ(stage_of(desk.state), Stage::verdict);
  EXPECT_EQ(desk.state.open->opened.serial, unit_a);
}

TEST(Closing, ANonconformingAnswerWithoutAFindingBlocksEveryWayOut) {
  Desk desk = Desk::with_open_unit();
  desk.give(AnswerStep{"seal", Answer::nonconforming});
  for (const Close& way : {to_rework, to_hold, to_scrap}) {
    const Outcome outcome = desk.give(way);
    EXPECT_EQ(outcome.notices, (std::vector<Notice>{{"finding_missing", {"seal"}}}));
    EXPECT_THAT(outcome.happenings, IsEmpty());
  }
  EXPECT_THAT(desk.give(to_accept).obstacles, Contains(Obstacle{Why::finding_missing, "seal"}));
  EXPECT_TRUE(desk.state.open);
}

TEST(Closing, AConformingUnitIsNotStoppedForNothing) {
  Desk desk = Desk::with_open_unit();
  desk.answer_all();
  for (const Close& way : {to_rework, to_hold, to_scrap})
    EXPECT_EQ(said(desk.give(way)), "finding_needed");
  EXPECT_TRUE(desk.state.open);
}

TEST(Closing, AFindingOpensTheOtherThreeWays) {
  for (const Close& way : {to_rework, to_hold, to_scrap}) {
    Desk desk = Desk::with_open_unit();
    desk.give(seal_not_seated);
    const Outcome outcome = desk.give(way);
    ASSERT_TRUE(only<LookClosed>(outcome));
    EXPECT_EQ(only<LookClosed>(outcome)->disposition, way.disposition);
    EXPECT_EQ(only<LookClosed>(outcome)->why,
              way.disposition == Disposition::hold ? "finding" : "");
  }
}

TEST(Closing, SomethingElseHoldsUntilItIsClassified) {
  Desk desk = Desk::with_open_unit();
  desk.give(AddFinding{"seal", something_else, {}, {}, "", "odd smell"});
  EXPECT_EQ(desk.give(to_rework).notices, (std::vector<Notice>{{"hold_only", {"something_else"}}}));
  EXPECT_EQ(said(desk.give(to_scrap)), "hold_only");
  const Outcome outcome = desk.give(to_hold);
  ASSERT_TRUE(only<LookClosed>(outcome));
  EXPECT_EQ(only<LookClosed>(outcome)->why, "something_else");
}

// --- tag -----------------------------------------------------------------------------------------

TEST(Closing, ATagOfAnotherVariantIsAHoldHoweverGoodTheUnit) {
  Desk desk = Desk::with_inspector();
  desk.give(Scan{"CP210N-26330-00001"});
  desk.answer_all();
  EXPECT_THAT(desk.give(to_accept).obstacles,
              ElementsAre(Obstacle{Why::tag_of_other_type, "CP210N"}));
  EXPECT_EQ(said(desk.give(to_rework)), "hold_only");
  const Outcome outcome = desk.give(to_hold);
  ASSERT_TRUE(only<LookClosed>(outcome));
  EXPECT_EQ(only<LookClosed>(outcome)->why, "other_variant_tag");
}

TEST(Closing, ATagOfATypeNobodyKnowsIsAHoldToo) {
  Desk desk = Desk::with_inspector();
  desk.give(Scan{"CP999-26330-00001"});
  desk.answer_all();
  EXPECT_THAT(desk.give(to_accept).obstacles,
              ElementsAre(Obstacle{Why::tag_of_other_type, "CP999"}));
}

TEST(Closing, ACodeThatSaysNoTypeContradictsNothing) {
  Desk desk = Desk::with_inspector();
  desk.give(Scan{unit_a, true});
  desk.answer_all();
  EXPECT_TRUE(only<LookClosed>(desk.give(to_accept)));
}

// --- ticket --------------------------------------------------------------------------------------

TEST(Closing, UnderATicketAUnitIsHeldHoweverGoodItLooks) {
  Desk desk = Desk::with_inspector();
  desk.give(NoReadableTag{});
  const std::string ticket = desk.state.open->opened.ticket;
  desk.give(ConfirmVariant{"CP-210"});
  desk.answer_all();
  EXPECT_THAT(desk.give(to_accept).obstacles, ElementsAre(Obstacle{Why::no_serial, ticket}));
  const Outcome outcome = desk.give(to_hold);
  ASSERT_TRUE(only<LookClosed>(outcome));
  EXPECT_EQ(only<LookClosed>(outcome)->why, "no_tag");
}

TEST(Closing, UnderATicketAUnitMayBeScrappedButNotReworked) {
  Desk desk = Desk::with_inspector();
  desk.give(NoReadableTag{});
  desk.give(ConfirmVariant{"CP-210"});
  EXPECT_EQ(said(desk.give(to_scrap)), "finding_needed");
  desk.give(seal_not_seated);
  EXPECT_EQ(said(desk.give(to_rework)), "no_rework_under_ticket");
  EXPECT_TRUE(only<LookClosed>(desk.give(to_scrap)));
}

TEST(Closing, AUnitWhoseVariantNobodyCanTellIsHeld) {
  Desk desk = Desk::with_inspector();
  desk.give(Scan{"26330-00777"});
  EXPECT_THAT(desk.give(to_accept).obstacles, Contains(Obstacle{Why::variant_unknown, ""}));
  const Outcome outcome = desk.give(to_hold);
  ASSERT_TRUE(only<LookClosed>(outcome));
  EXPECT_EQ(only<LookClosed>(outcome)->why, "variant_unknown");
}

// --- required results ----------------------------------------------------------------------------

TEST(Closing, AMissingResultStopsTheAcceptAndMayBeWaitedFor) {
  Desk desk = Desk::with_inspector();
  desk.happen(UnitBuilt{"26330-00555", "CP-210", {desk.passed_results()[1]}});
  desk.give(Scan{"CP210-26330-00555"});
  desk.answer_all();
  EXPECT_THAT(desk.give(to_accept).obstacles, ElementsAre(Obstacle{Why::result_missing, "leak"}));
  const std::string look = desk.state.open->opened.look;
  desk.give(Park{ParkReason::waiting_for_result});
  desk.measured("26330-00555", UpstreamTest::leak, true);
  EXPECT_EQ(desk.state.parked.size(), 1U) << "the result alone releases nothing";
  desk.give(Resume{look});
  EXPECT_TRUE(only<LookClosed>(desk.give(to_accept)));
}

TEST(Closing, AFailedResultStopsTheAcceptAndIsAReasonToHold) {
  Desk desk = Desk::with_open_unit();
  desk.measured(unit_a, UpstreamTest::leak, false);
  desk.answer_all();
  EXPECT_THAT(desk.give(to_accept).obstacles, ElementsAre(Obstacle{Why::result_failed, "leak"}));
  const Outcome outcome = desk.give(to_hold);
  ASSERT_TRUE(only<LookClosed>(outcome));
  EXPECT_EQ(only<LookClosed>(outcome)->why, "result_failed");
}

TEST(Closing, ReworkVoidsTheResultsItsDefectNamesAndLaterOnesCount) {
  Desk desk = Desk::with_open_unit();
  desk.close_with_seal_finding(Disposition::rework);
  desk.pass_seconds(3600);
  desk.give(StartReturn{code_a});
  desk.answer_all();
  EXPECT_THAT(desk.give(to_accept).obstacles, ElementsAre(Obstacle{Why::result_missing, "leak"}));
  desk.measured(unit_a, UpstreamTest::leak, true);
  EXPECT_TRUE(only<LookClosed>(desk.give(to_accept)));
}

// --- concession ----------------------------------------------------------------------------------

class WithConcession : public ::testing::Test {
 protected:
  WithConcession() {
    grant.number = "C-12";
    grant.authority = "customer quality";
    grant.variant = "CP-210";
    grant.component = "seal";
    grant.defect = "not_seated";
    grant.quantity = 1;
    grant.expires_us = desk.now.wall_us + 3'600'000'000;
    desk.happen(grant);
    desk.answer_all();
    desk.give(seal_not_seated);
  }
  Desk desk = Desk::with_open_unit();
  ConcessionGranted grant;
};

TEST_F(WithConcession, AFindingItNamesMayGoAndTheEntrySaysByWhat) {
  const Outcome outcome = desk.give(Close{Disposition::accept, "C-12"});
  ASSERT_TRUE(only<LookClosed>(outcome));
  EXPECT_EQ(only<LookClosed>(outcome)->concession, "C-12");
}

TEST_F(WithConcession, WithoutItsNumberNothingGoes) {
  EXPECT_EQ(said(desk.give(to_accept)), "accept_refused");
}

TEST_F(WithConcession, AnUnknownNumberIsSaid) {
  const Outcome outcome = desk.give(Close{Disposition::accept, "C-13"});
  EXPECT_THAT(outcome.notices, Contains(Notice{"concession_not_valid", {"C-13", "unknown"}}));
  EXPECT_THAT(outcome.happenings, IsEmpty());
}

TEST_F(WithConcession, ItsQuantityIsUsedUp) {
  desk.give(Close{Disposition::accept, "C-12"});
  desk.give(Scan{code_b});
  desk.answer_all();
  desk.give(seal_not_seated);
  const Outcome outcome = desk.give(Close{Disposition::accept, "C-12"});
  EXPECT_THAT(outcome.notices, Contains(Notice{"concession_not_valid", {"C-12", "used_up"}}));
}

TEST_F(WithConcession, ItExpires) {
  desk.pass_seconds(3600);
  const Outcome outcome = desk.give(Close{Disposition::accept, "C-12"});
  EXPECT_THAT(outcome.notices, Contains(Notice{"concession_not_valid", {"C-12", "expired"}}));
}

TEST_F(WithConcession, AnotherFindingIsNotCovered) {
  desk.give(AddFinding{"lid", "not_seated"});
  const Outcome outcome = desk.give(Close{Disposition::accept, "C-12"});
  EXPECT_THAT(outcome.notices, Contains(Notice{"concession_not_valid", {"C-12", "other_finding"}}));
}

TEST_F(WithConcession, ItLiftsFindingsAndNothingElse) {
  desk.give(AnswerStep{"lid", Answer::not_answered});
  const Outcome outcome = desk.give(Close{Disposition::accept, "C-12"});
  EXPECT_THAT(outcome.obstacles, ElementsAre(Obstacle{Why::step_unanswered, "lid"}));
  EXPECT_THAT(outcome.happenings, IsEmpty());
}

TEST_F(WithConcession, ANumberThatNothingNeededIsNotUsed) {
  desk.give(WithdrawFinding{desk.state.open->findings[0].finding, "glare"});
  desk.give(AnswerStep{"seal"});
  const Outcome outcome = desk.give(Close{Disposition::accept, "C-12"});
  ASSERT_TRUE(only<LookClosed>(outcome));
  EXPECT_EQ(only<LookClosed>(outcome)->concession, "");
}

// --- park ----------------------------------------------------------------------------------------

TEST(Closing, AParkedUnitKeepsItsAnswersAndStaysInSight) {
  Desk desk = Desk::with_open_unit();
  desk.give(AnswerStep{"seal"});
  const std::string look = desk.state.open->opened.look;
  desk.give(Park{ParkReason::needs_advice, "ask line lead"});
  EXPECT_EQ(stage_of(desk.state), Stage::waiting);
  EXPECT_EQ(desk.state.parked.at(0).parked->note, "ask line lead");
  desk.give(Scan{code_b});
  EXPECT_EQ(said(desk.give(Resume{look})), "close_or_park_first");
  desk.give(Park{});
  EXPECT_EQ(desk.state.parked.size(), 2U);
  desk.give(Resume{look});
  EXPECT_EQ(desk.state.open->steps[0].answer, Answer::conforming);
  EXPECT_FALSE(desk.state.open->parked);
  EXPECT_EQ(desk.state.parked.size(), 1U);
}

TEST(Closing, WhatIsNotOpenIsNotParkedAndWhatIsNotParkedIsNotResumed) {
  Desk desk = Desk::with_inspector();
  EXPECT_EQ(desk.refusal(Park{}), Category::refused);
  EXPECT_EQ(desk.refusal(Resume{"k-0"}), Category::refused);
}

TEST(Closing, WhenTheRecordsDoNotAnswerNothingIsClosed) {
  Desk desk = Desk::with_open_unit();
  desk.answer_all();
  desk.past.broken = true;
  EXPECT_EQ(desk.refusal(to_accept), Category::io);
}

}  // namespace
}  // namespace lastlook::flows
