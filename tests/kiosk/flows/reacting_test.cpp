// SPDX-License-Identifier: Apache-2.0
// A defect that comes too often, a call for help, and the place of the look.
#include "tests/kiosk/flows/testing/desk.h"

namespace lastlook::flows {
namespace {

using namespace testing;
using ::testing::ElementsAre;
using ::testing::IsEmpty;

class ReactingTest : public ::testing::Test {
 protected:
  ReactingTest() {
    for (Master* master : {&desk.state.master, &desk.past.master})
      master->reaction_plans = {
          {"lids", "not_seated", "lid", 2, 3, "Look at the lid press.", "Setter"}};
    desk.give(SignIn{"p-ina", Role::inspector});
  }
  // The next unit, with this finding or none; says what was raised.
  const ReactionRaised* close_unit(const std::string& component = "") {
    const std::string serial = "26330-1000" + std::to_string(++units_);
    desk.built(serial, "CP-210");
    desk.give(Scan{serial});
    if (component.empty()) desk.answer_all();
    if (!component.empty()) desk.give(AddFinding{component, "not_seated"});
    outcome_ = desk.give(Close{component.empty() ? Disposition::accept : Disposition::rework, ""});
    for (const Happening& happening : outcome_.happenings)
      if (const auto* raised = std::get_if<ReactionRaised>(&happening)) return raised;
    return nullptr;
  }
  void settle() {
    desk.give(SignIn{"p-sue", Role::supervisor});
    desk.give(SettleReaction{desk.past.open_reactions()->front().reaction, "the press was set"});
    desk.give(SignIn{"p-ina", Role::inspector});
  }
  Desk desk;
  Outcome outcome_;
  int units_ = 0;
};

TEST_F(ReactingTest, SoManyTimesInSoManyUnitsRaisesThePlan) {
  EXPECT_FALSE(close_unit("lid"));
  EXPECT_FALSE(close_unit());
  const ReactionRaised* raised = close_unit("lid");
  ASSERT_TRUE(raised);
  EXPECT_EQ(raised->plan, "lids");
  EXPECT_EQ(raised->times, 2);
  EXPECT_EQ(raised->in_units, 3);
  EXPECT_EQ(raised->looks.size(), 2U);
  EXPECT_EQ(said(outcome_), "reaction_due");
  EXPECT_THAT(outcome_.notices.front().subjects, ElementsAre("not_seated", "2", "3"));
}

TEST_F(ReactingTest, WhatLiesFartherBackDoesNotCount) {
  EXPECT_FALSE(close_unit("lid"));
  EXPECT_FALSE(close_unit());
  EXPECT_FALSE(close_unit());
  EXPECT_FALSE(close_unit("lid")) << "the first is the fourth from the end";
}

TEST_F(ReactingTest, AnotherComponentIsAnotherThing) {
  EXPECT_FALSE(close_unit("seal"));
  EXPECT_FALSE(close_unit("seal"));
  desk.state.master.reaction_plans[0].component.clear();
  EXPECT_TRUE(close_unit("seal")) << "anywhere";
}

TEST_F(ReactingTest, IsRaisedOnceUntilItIsSettledAndThenCountsAnew) {
  close_unit("lid");
  ASSERT_TRUE(close_unit("lid"));
  EXPECT_FALSE(close_unit("lid")) << "somebody is at it";
  settle();
  EXPECT_FALSE(close_unit("lid")) << "those before were dealt with";
  EXPECT_TRUE(close_unit("lid"));
}

TEST_F(ReactingTest, OnlyWhoMaySettlesIt) {
  close_unit("lid");
  close_unit("lid");
  const std::string reaction = desk.past.open_reactions()->front().reaction;
  EXPECT_EQ(said(desk.give(SettleReaction{reaction, "set anew"})), "needs_other_role");
  desk.give(SignIn{"p-sue", Role::supervisor});
  EXPECT_EQ(desk.refusal(SettleReaction{reaction, " "}), Category::bad_input);
  EXPECT_TRUE(only<ReactionSettled>(desk.give(SettleReaction{reaction, "set anew"})));
  EXPECT_EQ(said(desk.give(SettleReaction{reaction, "set anew"})), "already_settled");
}

TEST_F(ReactingTest, ADiskThatDoesNotAnswerClosesNothing) {
  desk.give(Scan{code_a});
  desk.give(AddFinding{"lid", "not_seated"});
  desk.past.broken = true;
  EXPECT_EQ(desk.refusal(Close{Disposition::rework, ""}), Category::io);
  EXPECT_TRUE(desk.state.open);
}

TEST(Help, IsCalledOnceAndAnsweredOnce) {
  Desk desk = Desk::with_open_unit();
  const Outcome called = desk.give(CallHelp{});
  ASSERT_TRUE(only<HelpCalled>(called));
  EXPECT_EQ(only<HelpCalled>(called)->look, desk.state.open->opened.look);
  EXPECT_EQ(said(desk.give(CallHelp{})), "help_called");
  const Outcome came = desk.give(HelpIsHere{});
  ASSERT_TRUE(only<HelpCame>(came));
  EXPECT_EQ(only<HelpCame>(came)->help, only<HelpCalled>(called)->help);
  EXPECT_THAT(desk.give(HelpIsHere{}).happenings, IsEmpty());
  EXPECT_TRUE(desk.state.open) << "the unit stays where it is";
}

class ViewingTest : public ::testing::Test {
 protected:
  ViewingTest() {
    desk.state.master.viewing = Viewing{1000, 60};
    desk.give(SignIn{"p-ina", Role::inspector});
  }
  Desk desk;
};

TEST_F(ViewingTest, NoUnitIsLookedAtBeforeThePlaceWasChecked) {
  EXPECT_EQ(said(desk.give(Scan{code_a})), "viewing_first");
  EXPECT_EQ(said(desk.give(NoReadableTag{})), "viewing_first");
  EXPECT_FALSE(desk.state.open);
  const Outcome checked = desk.give(CheckViewing{true, 1000, true});
  ASSERT_TRUE(only<ViewingChecked>(checked));
  EXPECT_EQ(only<ViewingChecked>(checked)->allowed_by, "");
  desk.give(Scan{code_a});
  EXPECT_TRUE(desk.state.open);
}

TEST_F(ViewingTest, WhereItIsNotAsItShouldBeAnotherWhoMayAllowsIt) {
  for (const CheckViewing& bad :
       {CheckViewing{true, 999, true}, {false, 1500, true}, {true, 1500, false}}) {
    EXPECT_EQ(said(desk.give(bad)), "viewing_refused");
    CheckViewing by_inspector = bad;
    by_inspector.allowed_by = "p-bo";
    EXPECT_EQ(said(desk.give(by_inspector)), "viewing_refused");
    CheckViewing by_supervisor = bad;
    by_supervisor.allowed_by = "p-sue";
    by_supervisor.role = Role::supervisor;
    const Outcome allowed = desk.give(by_supervisor);
    ASSERT_TRUE(only<ViewingChecked>(allowed));
    EXPECT_EQ(only<ViewingChecked>(allowed)->allowed_by, "p-sue");
  }
}

TEST_F(ViewingTest, WhatNoMeterSaysIsBadInput) {
  EXPECT_EQ(desk.refusal(CheckViewing{true, -1, true}), Category::bad_input);
  EXPECT_EQ(desk.refusal(CheckViewing{true, 1'000'000, true}), Category::bad_input);
}

TEST_F(ViewingTest, WhereTheSiteDoesNotAskNothingIsInTheWay) {
  desk.state.master.viewing.reset();
  EXPECT_EQ(desk.refusal(CheckViewing{true, 1000, true}), Category::refused);
  desk.give(Scan{code_a});
  EXPECT_TRUE(desk.state.open);
}

}  // namespace
}  // namespace lastlook::flows
