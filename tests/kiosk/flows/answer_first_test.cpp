// SPDX-License-Identifier: Apache-2.0
// Rule 8 of the trade: what is answered before the opinion shows, and where the two differ. And the
// fast way through a good unit beside it.
#include "tests/kiosk/flows/testing/desk.h"

namespace lastlook::flows {
namespace {

using namespace testing;
using ::testing::ElementsAre;
using ::testing::IsEmpty;

// What the camera says of the open unit.
OpinionArrived opinion(const Desk& desk, const std::string& seal,
                       const std::string& others = "yes") {
  OpinionArrived event;
  event.tag_serial = desk.state.open->opened.serial;
  event.opinion.look = desk.state.open->opened.look;
  event.opinion.model = "m-1";
  for (const char* component : {"seal", "lid", "tag"}) {
    ComponentOpinion one;
    one.component = component;
    one.conforming = component == std::string("seal") ? seal : others;
    one.opinion = one.conforming == "yes"  ? Opinion::present
                  : one.conforming == "no" ? Opinion::absent
                                           : Opinion::unsure;
    event.opinion.components.push_back(one);
  }
  return event;
}

// The seal is always answered first; the rest may be answered together.
Desk with_open_unit() {
  Desk desk = Desk::with_inspector();
  for (Master* master : {&desk.state.master, &desk.past.master}) {
    master->variants[0].checklist[0].answer_first = true;
    master->answer_together = true;
  }
  desk.give(Scan{code_a});
  return desk;
}

TEST(AnswerFirst, HidesTheOpinionUntilTheStepIsAnswered) {
  Desk desk = with_open_unit();
  desk.give(opinion(desk, "yes"));
  EXPECT_EQ(shown_opinion(*desk.state.open, "seal"), nullptr);
  ASSERT_TRUE(shown_opinion(*desk.state.open, "lid"));
  EXPECT_EQ(desk.refusal(AnswerStep{"seal", Answer::conforming, "present"}), Category::bad_input);
  const Outcome outcome = desk.give(AnswerStep{"seal"});
  EXPECT_EQ(only<StepAnswered>(outcome)->opinion_shown, "");
  EXPECT_THAT(outcome.notices, IsEmpty());
  ASSERT_TRUE(shown_opinion(*desk.state.open, "seal"));
  EXPECT_EQ(shown_opinion(*desk.state.open, "seal")->opinion, Opinion::present);
}

TEST(AnswerFirst, WhereTheTwoDifferOneMoreLookIsAskedForAndBothAnswersStay) {
  Desk desk = with_open_unit();
  desk.give(opinion(desk, "no"));
  EXPECT_EQ(said(desk.give(AnswerStep{"seal"})), "one_more_look");
  EXPECT_EQ(next_step(*desk.state.open), 0U);
  desk.give(AnswerStep{"lid", Answer::conforming, "present"});
  desk.give(AnswerStep{"tag", Answer::conforming, "present"});
  EXPECT_EQ(next_step(*desk.state.open), 0U) << "the verdict waits for it";
  const Outcome refused = desk.give(Close{Disposition::accept, ""});
  EXPECT_THAT(refused.obstacles, ElementsAre(Obstacle{Obstacle::Why::answers_differ, "seal"}));
  const Outcome again = desk.give(AnswerStep{"seal", Answer::conforming, "absent"});
  ASSERT_TRUE(only<StepAnswered>(again));
  EXPECT_EQ(only<StepAnswered>(again)->before, Answer::conforming);
  EXPECT_EQ(only<StepAnswered>(again)->opinion_shown, "absent");
  EXPECT_EQ(stage_of(desk.state), Stage::verdict);
  // It is asked once: another opinion of the same does not ask again.
  desk.give(opinion(desk, "no", "unsure"));
  EXPECT_EQ(stage_of(desk.state), Stage::verdict);
}

TEST(AnswerFirst, AnOpinionThatComesLateIsHeldAgainstTheAnswer) {
  Desk desk = with_open_unit();
  desk.give(AnswerStep{"seal", Answer::nonconforming});
  desk.give(AddFinding{"seal", "not_seated"});
  EXPECT_EQ(next_step(*desk.state.open), 1U);
  desk.give(opinion(desk, "yes"));
  EXPECT_EQ(next_step(*desk.state.open), 0U);
  desk.give(AnswerStep{"seal", Answer::nonconforming, "present"});
  EXPECT_EQ(desk.state.open->findings.size(), 1U) << "a person decides";
  EXPECT_EQ(desk.state.open->steps[0].first, AnswerFirst::done);
}

TEST(AnswerFirst, AnUnsureCameraContradictsNobody) {
  for (const Answer answer : {Answer::conforming, Answer::nonconforming}) {
    Desk desk = with_open_unit();
    desk.give(opinion(desk, "unsure"));
    EXPECT_EQ(said(desk.give(AnswerStep{"seal", answer})), "");
    EXPECT_EQ(desk.state.open->steps[0].first, AnswerFirst::done);
  }
}

TEST(AnswerFirst, StepsAreDrawnAtTheRateAndTheDrawIsOnRecord) {
  Desk desk = Desk::with_inspector();
  desk.state.master.answer_first_rate = 0.25;
  desk.past.drawn = 0.125;
  const Outcome outcome = desk.give(Scan{code_a});
  ASSERT_THAT(kinds(outcome), ElementsAre("look_opened", "answer_first_drawn"));
  const auto& drawn = std::get<AnswerFirstDrawn>(outcome.happenings[1]);
  EXPECT_THAT(drawn.components, ElementsAre("seal", "lid", "tag"));
  EXPECT_EQ(drawn.rate, 0.25);
  EXPECT_EQ(desk.state.open->steps[2].first, AnswerFirst::due);
  desk.give(Park{});
  desk.past.drawn = 0.25;  // at the rate: not drawn
  EXPECT_THAT(kinds(desk.give(Scan{code_b})), ElementsAre("look_opened"));
}

TEST(AnswerFirst, IsDrawnOnceTheVariantIsKnown) {
  Desk desk = Desk::with_inspector();
  desk.state.master.answer_first_rate = 1.0;
  desk.happen(UnitBuilt{"26330-00004", "", desk.passed_results()});
  EXPECT_THAT(kinds(desk.give(Scan{"26330-00004"})), ElementsAre("look_opened"));
  EXPECT_THAT(kinds(desk.give(ConfirmVariant{"CP-210"})),
              ElementsAre("variant_confirmed", "answer_first_drawn"));
}

TEST(AnswerFirst, ASecondLookIsBlindAnyway) {
  Desk desk = Desk::with_inspector();
  desk.state.master.second_looks = {1.0, 1.0, 1.0};
  desk.state.master.answer_together = true;
  desk.give(Scan{code_a});
  desk.state.master.answer_first_rate = 1.0;
  desk.give(AnswerStep{"seal"});
  desk.give(AnswerStep{"lid"});
  desk.give(AnswerStep{"tag"});
  ASSERT_THAT(kinds(desk.give(Close{Disposition::accept, ""})),
              ElementsAre("look_closed", "second_look_drawn"));
  desk.pass_seconds(3600);
  desk.give(SignIn{"p-bo", Role::inspector});
  EXPECT_THAT(kinds(desk.give(Scan{code_a})), ElementsAre("look_opened"));
  ASSERT_TRUE(is_second_look(*desk.state.open));
  EXPECT_THAT(together_steps(*desk.state.open), IsEmpty());
  for (const StepState& step : desk.state.open->steps) EXPECT_EQ(step.first, AnswerFirst::no);
}

TEST(Together, OneTouchAnswersWhatTheCameraCallsRight) {
  Desk desk = with_open_unit();
  EXPECT_EQ(next_step(*desk.state.open), 0U) << "what is answered first comes first";
  desk.give(opinion(desk, "yes"));
  desk.give(AnswerStep{"seal"});
  EXPECT_THAT(together_steps(*desk.state.open), ElementsAre(1U, 2U));
  const Outcome outcome = desk.give(AnswerTogether{{"lid", "tag"}});
  const auto* answered = only<AnsweredTogether>(outcome);
  ASSERT_TRUE(answered);
  EXPECT_THAT(answered->opinions_shown, ElementsAre("present", "present"));
  EXPECT_EQ(stage_of(desk.state), Stage::verdict);
  EXPECT_THAT(kinds(desk.give(Close{Disposition::accept, ""})), ElementsAre("look_closed"));
}

TEST(Together, AnswersNothingThatTheCameraDoesNotCallRight) {
  for (const char* said_of_others : {"no", "unsure"}) {
    Desk desk = with_open_unit();
    desk.give(opinion(desk, "yes", said_of_others));
    EXPECT_EQ(said(desk.give(AnswerTogether{{"lid", "tag"}})), "not_together");
    EXPECT_EQ(desk.state.open->steps[1].answer, Answer::not_answered);
  }
  Desk desk = with_open_unit();
  EXPECT_EQ(said(desk.give(AnswerTogether{{"lid", "tag"}})), "not_together") << "no opinion at all";
}

TEST(Together, ReachesNoStepThatIsAnsweredByItself) {
  Desk desk = with_open_unit();
  desk.give(opinion(desk, "yes"));
  EXPECT_EQ(desk.refusal(AnswerTogether{{"seal", "lid", "tag"}}), Category::refused)
      << "answered first";
  EXPECT_EQ(desk.refusal(AnswerTogether{{"wheel"}}), Category::refused);
  EXPECT_EQ(desk.refusal(AnswerTogether{}), Category::bad_input);
  Desk by_hand = Desk::with_inspector();
  by_hand.state.master.answer_together = true;
  by_hand.state.master.variants[0].checklist[1].by = Manner::tug;
  by_hand.give(Scan{code_a});
  by_hand.give(opinion(by_hand, "yes"));
  EXPECT_THAT(together_steps(*by_hand.state.open), ElementsAre(0U, 2U));
  EXPECT_EQ(next_step(*by_hand.state.open), 1U) << "what takes a hand comes first";
  EXPECT_EQ(by_hand.refusal(AnswerTogether{{"lid"}}), Category::refused);
}

TEST(Together, IsNotOfferedWhereTheSiteDoesNotAllowIt) {
  Desk desk = Desk::with_open_unit();
  desk.give(opinion(desk, "yes"));
  EXPECT_THAT(together_steps(*desk.state.open), IsEmpty());
  EXPECT_EQ(desk.refusal(AnswerTogether{{"lid", "tag"}}), Category::refused);
}

}  // namespace
}  // namespace lastlook::flows
