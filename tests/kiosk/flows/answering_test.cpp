// SPDX-License-Identifier: Apache-2.0
// Rules 3, 6 and 10 of the trade (common practice): expected absent, corrections, opinions that
// answer nothing.
#include "tests/kiosk/flows/testing/desk.h"

namespace lastlook::flows {
namespace {

using namespace testing;
using ::testing::ElementsAre;
using ::testing::IsEmpty;

AddFinding finding(const std::string& component, const std::string& defect) {
  return AddFinding{component, defect};
}

Desk without_lid() {
  Desk desk = Desk::with_inspector();
  desk.built("26330-00900", "CP-210N");
  desk.give(Scan{"CP210N-26330-00900"});
  return desk;
}

TEST(Answering, AnAnswerIsKeptWithTheOpinionThatWasOnTheScreen) {
  Desk desk = Desk::with_open_unit();
  const Outcome outcome = desk.give(AnswerStep{"seal", Answer::conforming, "present"});
  const auto* answered = only<StepAnswered>(outcome);
  ASSERT_TRUE(answered);
  EXPECT_EQ(answered->opinion_shown, "present");
  EXPECT_EQ(answered->before, Answer::not_answered);
  EXPECT_EQ(desk.refusal(AnswerStep{"lid", Answer::conforming, "nice"}), Category::bad_input);
}

TEST(Answering, ACorrectionNamesTheAnswerItCorrects) {
  Desk desk = Desk::with_open_unit();
  desk.give(AnswerStep{"seal", Answer::nonconforming});
  const Outcome outcome = desk.give(AnswerStep{"seal", Answer::conforming});
  ASSERT_TRUE(only<StepAnswered>(outcome));
  EXPECT_EQ(only<StepAnswered>(outcome)->before, Answer::nonconforming);
  EXPECT_EQ(desk.state.open->steps[0].answer, Answer::conforming);
}

TEST(Answering, AKeyThatRepeatsAnswersOnce) {
  Desk desk = Desk::with_open_unit();
  desk.give(AnswerStep{"seal"});
  EXPECT_THAT(desk.give(AnswerStep{"seal"}).happenings, IsEmpty());
  EXPECT_EQ(next_step(*desk.state.open), 1U);
}

TEST(Answering, WhatIsNotInTheChecklistIsNotAnswered) {
  Desk desk = Desk::with_open_unit();
  EXPECT_EQ(desk.refusal(AnswerStep{"wheel"}), Category::bad_input);
  desk.give(Park{});
  EXPECT_EQ(desk.refusal(AnswerStep{"seal"}), Category::refused);
}

TEST(Answering, AFindingAnswersItsStepInTheSameTransaction) {
  Desk desk = Desk::with_open_unit();
  desk.give(AnswerStep{"seal"});
  const Outcome outcome = desk.give(finding("seal", "not_seated"));
  ASSERT_THAT(kinds(outcome), ElementsAre("step_answered", "finding_added"));
  EXPECT_EQ(std::get<StepAnswered>(outcome.happenings[0]).before, Answer::conforming);
  const auto& added = std::get<FindingAdded>(outcome.happenings[1]);
  EXPECT_EQ(added.severity, Severity::major) << "of the catalogue";
  EXPECT_EQ(desk.state.open->findings, (std::vector<FindingAdded>{added}));
}

TEST(Answering, SeverityPlacePhotoAndNoteAreKept) {
  Desk desk = Desk::with_open_unit();
  desk.give(AddFinding{"seal", "not_seated", Severity::critical, Place{0.25, 1.0}, "9f", "edge"});
  const FindingAdded& added = desk.state.open->findings.at(0);
  EXPECT_EQ(added.severity, Severity::critical);
  EXPECT_EQ(added.place, (Place{0.25, 1.0}));
  EXPECT_EQ(added.picture, "9f");
  EXPECT_EQ(added.note, "edge");
}

TEST(Answering, APlaceOffThePictureIsBadInput) {
  Desk desk = Desk::with_open_unit();
  for (const Place place : {Place{-0.01, 0.5}, Place{0.5, 1.01}, Place{0.5, std::nan("")}})
    EXPECT_EQ(desk.refusal(AddFinding{"seal", "not_seated", {}, place}), Category::bad_input);
}

TEST(Answering, ExpectedAbsentAndThereIsAFinding) {
  Desk desk = without_lid();
  EXPECT_EQ(desk.refusal(finding("lid", "missing")), Category::bad_input)
      << "nothing is missing where nothing is expected";
  desk.give(finding("lid", "not_wanted"));
  EXPECT_EQ(desk.state.open->steps[1].answer, Answer::nonconforming);
}

TEST(Answering, ExpectedPresentIsNeverUnwanted) {
  Desk desk = Desk::with_open_unit();
  EXPECT_EQ(desk.refusal(finding("lid", "not_wanted")), Category::bad_input);
  EXPECT_EQ(desk.refusal(finding("lid", "unheard_of")), Category::bad_input);
  EXPECT_EQ(desk.refusal(finding("wheel", "missing")), Category::bad_input);
  desk.give(finding("lid", "missing"));
}

TEST(Answering, AFindingNeedsTheVariant) {
  Desk desk = Desk::with_inspector();
  desk.give(Scan{"26330-00777"});
  EXPECT_EQ(desk.refusal(finding("lid", "missing")), Category::refused);
}

TEST(Answering, AStepIsNotConformingWhileItsFindingStands) {
  Desk desk = Desk::with_open_unit();
  desk.give(finding("seal", "not_seated"));
  const Outcome outcome = desk.give(AnswerStep{"seal"});
  EXPECT_EQ(outcome.notices, (std::vector<Notice>{{"finding_still_there", {"seal"}}}));
  EXPECT_THAT(outcome.happenings, IsEmpty());
}

TEST(Answering, AFindingIsTakenBackByAnEntryThatSaysWhy) {
  Desk desk = Desk::with_open_unit();
  desk.give(finding("seal", "not_seated"));
  const std::string id = desk.state.open->findings[0].finding;
  EXPECT_EQ(desk.refusal(WithdrawFinding{id, " "}), Category::bad_input);
  EXPECT_EQ(desk.refusal(WithdrawFinding{"f-0", "wrong tile"}), Category::bad_input);
  const Outcome outcome = desk.give(WithdrawFinding{id, "wrong tile"});
  ASSERT_TRUE(only<FindingWithdrawn>(outcome));
  EXPECT_EQ(only<FindingWithdrawn>(outcome)->why, "wrong tile");
  EXPECT_THAT(desk.state.open->findings, IsEmpty());
  EXPECT_EQ(next_step(*desk.state.open), 0U) << "the step is asked again";
  desk.give(AnswerStep{"seal"});
  EXPECT_EQ(next_step(*desk.state.open), 1U);
}

// --- opinions ------------------------------------------------------------------------------------

OpinionArrived opinion_about(const Desk& desk, const std::string& tag) {
  OpinionArrived event;
  event.opinion.look = desk.state.open->opened.look;
  event.opinion.frame = 12;
  event.opinion.model = "m-1";
  event.opinion.components.resize(1);
  event.opinion.components[0].component = "seal";
  event.opinion.components[0].opinion = Opinion::present;
  event.opinion.components[0].conforming = "yes";
  event.tag_serial = tag;
  return event;
}

TEST(Answering, AnOpinionOfThisUnitIsKeptAndAnswersNothing) {
  Desk desk = Desk::with_open_unit();
  EXPECT_THAT(kinds(desk.give(opinion_about(desk, unit_a))), ElementsAre("opinion_given"));
  EXPECT_EQ(desk.state.open->opinion->model, "m-1");
  for (const StepState& step : desk.state.open->steps) EXPECT_EQ(step.answer, Answer::not_answered);
}

TEST(Answering, AnOpinionOfAnotherLookOrTagIsDropped) {
  Desk desk = Desk::with_open_unit();
  OpinionArrived stale = opinion_about(desk, unit_a);
  stale.opinion.look = "k-0";
  EXPECT_THAT(desk.give(stale).happenings, IsEmpty());
  EXPECT_THAT(desk.give(opinion_about(desk, unit_b)).happenings, IsEmpty());
  EXPECT_THAT(desk.give(opinion_about(desk, "")).happenings, IsEmpty());
  const OpinionArrived late = opinion_about(desk, unit_a);
  desk.give(Park{});
  EXPECT_THAT(desk.give(late).happenings, IsEmpty());
}

TEST(Answering, UnderATicketThereIsNoOpinion) {
  Desk desk = Desk::with_inspector();
  desk.give(NoReadableTag{});
  desk.give(ConfirmVariant{"CP-210"});
  EXPECT_THAT(desk.give(opinion_about(desk, "")).happenings, IsEmpty());
}

TEST(Answering, AnOpinionThatSaysTheSameIsNotKeptTwice) {
  Desk desk = Desk::with_open_unit();
  desk.give(opinion_about(desk, unit_a));
  OpinionArrived next = opinion_about(desk, unit_a);
  next.opinion.frame = 13;
  EXPECT_THAT(desk.give(next).happenings, IsEmpty());
  next.opinion.components[0].opinion = Opinion::unsure;
  EXPECT_THAT(kinds(desk.give(next)), ElementsAre("opinion_given"));
}

}  // namespace
}  // namespace lastlook::flows
