// SPDX-License-Identifier: Apache-2.0
// Rule 9 from both sides: what the person who closed a look meets, and the one who repeats it.
#include "tests/kiosk/flows/testing/desk.h"

namespace lastlook::flows {
namespace {

using namespace testing;
using ::testing::ElementsAre;
using ::testing::IsEmpty;

// A quarter of the accepted and half of the reworked units are drawn; 0.125 draws both.
class SecondLookTest : public ::testing::Test {
 protected:
  SecondLookTest() {
    desk.past.master.second_looks = desk.state.master.second_looks = {0.25, 0.5, 0.0};
    desk.past.drawn = 0.125;
    desk.give(SignIn{"p-ina", Role::inspector});
  }
  Outcome close(Disposition disposition = Disposition::accept) {
    desk.give(Scan{code_a});
    if (disposition == Disposition::accept) {
      desk.answer_all();
      return desk.give(Close{disposition, ""});
    }
    desk.give(AddFinding{"seal", "not_seated"});
    return desk.give(Close{disposition, ""});
  }
  void hand_over_to(const char* person, Role role = Role::inspector) {
    desk.pass_seconds(3600);
    desk.give(SignIn{person, role});
  }
  Desk desk;
};

TEST_F(SecondLookTest, TheDrawSaysItsRateAndItsNumber) {
  const Outcome outcome = close();
  ASSERT_THAT(kinds(outcome), ElementsAre("look_closed", "second_look_drawn"));
  const auto& drawn = std::get<SecondLookDrawn>(outcome.happenings[1]);
  EXPECT_EQ(drawn.look, desk.state.last->look);
  EXPECT_EQ(drawn.disposition, Disposition::accept);
  EXPECT_EQ(drawn.rate, 0.25);
  EXPECT_EQ(drawn.number, 0.125);
  EXPECT_TRUE(desk.state.last->held_back);
}

TEST_F(SecondLookTest, ANumberAtTheRateOrAboveDrawsNothing) {
  desk.past.drawn = 0.25;
  EXPECT_THAT(kinds(close()), ElementsAre("look_closed"));
  EXPECT_FALSE(desk.state.last->held_back);
}

TEST_F(SecondLookTest, ARejectedUnitIsDrawnBeforeItsReworkAtItsOwnRate) {
  desk.past.drawn = 0.375;
  const Outcome outcome = close(Disposition::rework);
  ASSERT_THAT(kinds(outcome), ElementsAre("look_closed", "second_look_drawn"));
  EXPECT_EQ(std::get<SecondLookDrawn>(outcome.happenings[1]).rate, 0.5);
}

TEST_F(SecondLookTest, WithoutRatesNothingIsDrawn) {
  desk.past.drawn = 0.0;
  EXPECT_THAT(kinds(close(Disposition::scrap)), ElementsAre("look_closed"));
}

TEST_F(SecondLookTest, NotUnderATicketAndNotUnderAConcession) {
  desk.give(NoReadableTag{});
  desk.give(ConfirmVariant{"CP-210"});
  desk.give(AddFinding{"seal", "not_seated"});
  EXPECT_THAT(kinds(desk.give(Close{Disposition::hold, ""})), ElementsAre("look_closed"));
  desk.happen(ConcessionGranted{"C-1", "design office", "CP-210", "seal", "not_seated", 5,
                                9'000'000'000'000'000});
  desk.give(Scan{code_a});
  desk.give(AddFinding{"seal", "not_seated"});
  for (const char* component : {"lid", "tag"}) desk.give(AnswerStep{component});
  EXPECT_THAT(kinds(desk.give(Close{Disposition::accept, "C-1"})), ElementsAre("look_closed"));
}

TEST_F(SecondLookTest, WhoClosedItDoesNotRepeatIt) {
  close();
  desk.pass_seconds(3600);
  EXPECT_EQ(said(desk.give(Scan{code_a})), "second_look_by_other");
  EXPECT_EQ(said(desk.give(StartReturn{code_a})), "second_look_by_other");
  EXPECT_FALSE(desk.state.open);
}

TEST_F(SecondLookTest, AnotherPersonsScanOpensItBlind) {
  close(Disposition::rework);
  const std::string first = desk.state.last->look;
  hand_over_to("p-bo");
  const Outcome outcome = desk.give(Scan{code_a});
  EXPECT_THAT(outcome.notices, IsEmpty());
  ASSERT_TRUE(desk.state.open);
  EXPECT_EQ(desk.state.open->opened.second_of, first);
  EXPECT_EQ(desk.state.open->opened.number, 1);  // the look number does not advance
  EXPECT_THAT(desk.state.open->findings, IsEmpty());
  for (const StepState& step : desk.state.open->steps)
    EXPECT_EQ(step.answer, Answer::not_answered) << step.step.component;
}

// The leak result is void by the rework that was decided: that would say what the first look said.
TEST_F(SecondLookTest, NothingOfTheFirstDecisionStandsInItsWay) {
  close(Disposition::rework);
  hand_over_to("p-bo");
  desk.give(Scan{code_a});
  desk.answer_all();
  const UnitRecord unit = desk.past.unit(unit_a).value();
  EXPECT_THAT(obstacles_to_accept(desk.state, unit), IsEmpty());
  EXPECT_THAT(possible_dispositions(desk.state, unit), ElementsAre(Disposition::accept));
}

TEST_F(SecondLookTest, TheCamerasOpinionIsKeptAndNotShown) {
  close();
  hand_over_to("p-bo");
  desk.give(Scan{code_a});
  OpinionGiven opinion;
  opinion.look = desk.state.open->opened.look;
  opinion.components.emplace_back().component = "seal";
  EXPECT_THAT(kinds(desk.give(OpinionArrived{opinion, unit_a})), ElementsAre("opinion_given"));
  EXPECT_THAT(kinds(desk.give(OpinionArrived{opinion, unit_a})), IsEmpty());  // nothing new
  EXPECT_FALSE(desk.state.open->opinion);
  EXPECT_EQ(desk.refusal(AnswerStep{"seal", Answer::conforming, "unsure"}), Category::bad_input);
}

TEST_F(SecondLookTest, ASecondLookIsNotDrawnItselfAndTakesNoConcession) {
  close();
  hand_over_to("p-bo");
  desk.give(Scan{code_a});
  desk.answer_all();
  EXPECT_EQ(desk.refusal(Close{Disposition::accept, "C-1"}), Category::refused);
  EXPECT_THAT(kinds(desk.give(Close{Disposition::accept, ""})), ElementsAre("look_closed"));
  EXPECT_TRUE(desk.state.last->is_second);
  EXPECT_FALSE(desk.state.last->held_back);
}

TEST_F(SecondLookTest, AnAcceptedUnitThatItRejectsIsForASupervisor) {
  close();
  hand_over_to("p-bo");
  desk.give(Scan{code_a});
  desk.give(AddFinding{"seal", "not_seated"});
  desk.give(Close{Disposition::rework, ""});
  desk.pass_seconds(60);
  EXPECT_EQ(said(desk.give(Scan{code_a})), "return_or_twin");
  EXPECT_EQ(said(desk.give(StartReturn{code_a})), "needs_other_role");
  hand_over_to("p-sue", Role::supervisor);
  desk.give(StartReturn{code_a});
  ASSERT_TRUE(desk.state.open);
  EXPECT_EQ(desk.state.open->opened.number, 2);
  EXPECT_EQ(desk.state.open->opened.second_of, "");
}

TEST_F(SecondLookTest, PlacedAsideItIsNotTakenUpByWhoClosedTheFirst) {
  close();
  hand_over_to("p-bo");
  desk.give(Scan{code_a});
  hand_over_to("p-ina");  // takes the station over, but not this look
  EXPECT_FALSE(desk.state.open);
  ASSERT_EQ(desk.state.parked.size(), 1U);
  const std::string look = desk.state.parked.front().opened.look;
  EXPECT_EQ(said(desk.give(Resume{look})), "second_look_by_other");
  EXPECT_EQ(said(desk.give(Scan{code_a})), "second_look_by_other");
  hand_over_to("p-bo");
  desk.give(Scan{code_a});  // without a question, which would show the unit's history
  ASSERT_TRUE(desk.state.open);
  EXPECT_EQ(desk.state.open->opened.look, look);
}

TEST_F(SecondLookTest, WhoOnlyAnsweredInTheFirstDoesNotRepeatItEither) {
  desk.give(Scan{code_a});
  desk.answer_all();
  hand_over_to("p-bo");  // with the open unit
  ASSERT_TRUE(desk.state.open);
  desk.give(Close{Disposition::accept, ""});
  for (const char* person : {"p-ina", "p-bo"}) {
    hand_over_to(person);
    EXPECT_EQ(said(desk.give(Scan{code_a})), "second_look_by_other") << person;
  }
  hand_over_to("p-cleo");
  desk.give(Scan{code_a});
  EXPECT_TRUE(desk.state.open);
}

TEST_F(SecondLookTest, ItsTagUnderTheScannerOnceMoreTellsNothingOfTheFirst) {
  close(Disposition::rework);
  hand_over_to("p-bo");
  desk.give(Scan{code_a});
  desk.answer_all();
  desk.give(Close{Disposition::accept, ""});
  EXPECT_EQ(said(desk.give(Scan{code_a})), "second_look_closed");
  EXPECT_FALSE(desk.state.open);
  desk.pass_seconds(desk.state.master.double_scan_s + 1);
  EXPECT_EQ(said(desk.give(Scan{code_a})), "return_or_twin");
}

TEST_F(SecondLookTest, WhatItSaidIsForNobodyToChange) {
  close();
  hand_over_to("p-bo");
  desk.give(Scan{code_a});
  desk.answer_all();
  desk.give(Close{Disposition::accept, ""});
  const CorrectDisposition correction{desk.state.last->look, Disposition::hold, "better safe"};
  EXPECT_EQ(said(desk.give(correction)), "second_look_stands");
  hand_over_to("p-sue", Role::supervisor);
  EXPECT_EQ(said(desk.give(correction)), "second_look_stands");
}

TEST_F(SecondLookTest, TwoBodiesWithOneSerialAreStillHeld) {
  close();
  EXPECT_EQ(said(desk.give(AnotherBody{code_a})), "twin_held");
  hand_over_to("p-bo");
  desk.give(Close{Disposition::hold, ""});
  EXPECT_EQ(said(desk.give(Scan{code_a})), "disputed_serial");
}

TEST_F(SecondLookTest, AnImpliedAnswerNamesTheOpinionThatWasOnTheScreen) {
  desk.give(Scan{code_a});
  OpinionGiven opinion;
  opinion.look = desk.state.open->opened.look;
  opinion.components.emplace_back().component = "seal";
  opinion.components.front().opinion = Opinion::not_right;
  desk.give(OpinionArrived{opinion, unit_a});
  const Outcome outcome = desk.give(AddFinding{"seal", "not_seated"});
  EXPECT_EQ(std::get<StepAnswered>(outcome.happenings.front()).opinion_shown, "not_right");
}

}  // namespace
}  // namespace lastlook::flows
