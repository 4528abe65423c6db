// SPDX-License-Identifier: Apache-2.0
#include "tests/kiosk/flows/testing/desk.h"

namespace lastlook::flows {
namespace {

using namespace testing;

TEST(Stage, AUnitGoesFromWaitingOverItsStepsToTheVerdictAndBack) {
  Desk desk;
  EXPECT_EQ(stage_of(desk.state), Stage::signed_out);
  desk.give(SignIn{"p-ina", Role::inspector});
  EXPECT_EQ(stage_of(desk.state), Stage::waiting);
  desk.give(Scan{"26330-00777"});
  EXPECT_EQ(stage_of(desk.state), Stage::confirm_variant);
  desk.give(ConfirmVariant{"CP-210"});
  EXPECT_EQ(stage_of(desk.state), Stage::step);
  desk.answer_all();
  EXPECT_EQ(stage_of(desk.state), Stage::verdict);
  desk.give(Park{});
  EXPECT_EQ(stage_of(desk.state), Stage::waiting);
}

TEST(Stage, TheNextStepIsTheFirstThatLacksItsAnswer) {
  Desk desk = Desk::with_open_unit();
  EXPECT_EQ(next_step(*desk.state.open), 0U);
  desk.give(AnswerStep{"lid"});
  EXPECT_EQ(next_step(*desk.state.open), 0U);
  desk.give(AnswerStep{"seal"});
  EXPECT_EQ(next_step(*desk.state.open), 2U);
  desk.give(AnswerStep{"tag"});
  EXPECT_EQ(next_step(*desk.state.open), std::nullopt);
}

TEST(Stage, ANonconformingStepWaitsForItsFinding) {
  Desk desk = Desk::with_open_unit();
  desk.answer_all();
  desk.give(AnswerStep{"seal", Answer::nonconforming});
  EXPECT_EQ(next_step(*desk.state.open), 0U);
  desk.give(AddFinding{"seal", "missing"});
  EXPECT_EQ(next_step(*desk.state.open), std::nullopt);
}

TEST(Stage, WhatWasBegunIsFinishedBeforeAnEarlierStepIsAsked) {
  Desk desk = Desk::with_open_unit();
  desk.give(AnswerStep{"tag", Answer::nonconforming});  // by the strip of steps, seal and lid open
  EXPECT_EQ(next_step(*desk.state.open), 2U);
  desk.give(AddFinding{"tag", "missing"});
  EXPECT_EQ(next_step(*desk.state.open), 0U);
}

}  // namespace
}  // namespace lastlook::flows
