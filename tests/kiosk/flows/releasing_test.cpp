// SPDX-License-Identifier: Apache-2.0
// A hold is released by whom the site wants, and another look decides (common practice).
#include "tests/kiosk/flows/testing/desk.h"

namespace lastlook::flows {
namespace {

using namespace testing;
using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::IsEmpty;

class HeldUnit : public ::testing::Test {
 protected:
  explicit HeldUnit(HoldRule rule = HoldRule::supervisor) {
    desk.past.master.hold_release = desk.state.master.hold_release = rule;
    desk.give(SignIn{"p-ina", Role::inspector});
    desk.give(Scan{code_a});
    desk.close_with_seal_finding(Disposition::hold);
    held = desk.state.last->look;
  }
  // The unit comes back and looks good; what may be decided then.
  std::vector<Disposition> looked_at_again() {
    desk.pass_seconds(3'600);
    desk.give(StartReturn{code_a});
    desk.answer_all();
    return possible_dispositions(desk.state, *desk.past.unit(unit_a));
  }
  void supervisor() { desk.give(SignIn{"p-sup", Role::supervisor}); }

  Desk desk;
  std::string held;
};

TEST_F(HeldUnit, IsNotAcceptedBeforeItIsReleasedAndThenByAnotherLookOnly) {
  EXPECT_THAT(looked_at_again(), ElementsAre(Disposition::hold));
  const Outcome refused = desk.give(Close{Disposition::accept});
  EXPECT_EQ(said(refused), "accept_refused");
  EXPECT_THAT(refused.obstacles, ElementsAre(Obstacle{Obstacle::Why::on_hold, unit_a}));
  desk.give(Close{Disposition::hold});
  EXPECT_EQ(desk.state.last->why, "not_released");
  held = desk.state.last->look;

  supervisor();
  const Outcome outcome = desk.give(ReleaseHold{held, "settled"});
  const auto* released = only<HoldReleased>(outcome);
  ASSERT_TRUE(released);
  EXPECT_EQ(*released, (HoldReleased{held, unit_a, "settled", ""}));
  EXPECT_EQ(desk.past.look(held).value()->disposition, Disposition::hold) << "nothing is accepted";

  desk.give(SignIn{"p-ina", Role::inspector});
  EXPECT_THAT(looked_at_again(), ElementsAre(Disposition::accept));
  EXPECT_THAT(kinds(desk.give(Close{Disposition::accept})), Contains("look_closed"));
  EXPECT_EQ(desk.state.last->disposition, Disposition::accept);
}

TEST_F(HeldUnit, IsReleasedByWhoAnswersForQuality) {
  const ReleaseHold event{held, "settled"};
  EXPECT_EQ(said(desk.give(event)), "needs_other_role");
  desk.give(SignIn{"p-adm", Role::administrator});
  EXPECT_EQ(said(desk.give(event)), "needs_other_role");
  desk.give(SignIn{"p-qe", Role::quality_engineer});
  EXPECT_TRUE(only<HoldReleased>(desk.give(event)));
  EXPECT_EQ(desk.refusal(event), Category::refused) << "once";
}

TEST_F(HeldUnit, AReleaseSaysWhyAndOfWhat) {
  supervisor();
  EXPECT_EQ(desk.refusal(ReleaseHold{held, " "}), Category::bad_input);
  EXPECT_EQ(desk.refusal(ReleaseHold{"k-0", "settled"}), Category::not_found);
}

TEST_F(HeldUnit, HeldAgainItIsReleasedAnew) {
  supervisor();
  desk.give(ReleaseHold{held, "settled"});
  desk.pass_seconds(3'600);
  desk.give(StartReturn{code_a});
  desk.close_with_seal_finding(Disposition::hold);
  EXPECT_EQ(desk.refusal(ReleaseHold{held, "settled"}), Category::refused) << "the earlier look";
  EXPECT_THAT(looked_at_again(), ElementsAre(Disposition::hold));
}

TEST_F(HeldUnit, CorrectedToHoldAfterwardsItIsOnHold) {
  supervisor();
  desk.give(ReleaseHold{held, "settled"});
  desk.give(CorrectDisposition{held, Disposition::scrap, "cannot be mended"});
  desk.give(CorrectDisposition{held, Disposition::hold, "too early"});
  EXPECT_THAT(looked_at_again(), ElementsAre(Disposition::hold));
}

TEST_F(HeldUnit, ReworkAndScrapNeedNoRelease) {
  desk.pass_seconds(3'600);
  desk.give(StartReturn{code_a});
  desk.give(AddFinding{"seal", "not_seated"});
  EXPECT_THAT(possible_dispositions(desk.state, *desk.past.unit(unit_a)),
              ElementsAre(Disposition::rework, Disposition::hold, Disposition::scrap));
}

TEST(HeldUnderATicket, GetsItsSerialBeforeItIsReleased) {
  Desk desk = Desk::with_inspector();
  desk.give(NoReadableTag{});
  const std::string look = desk.state.open->opened.look;
  desk.give(ConfirmVariant{"CP-210"});
  desk.give(Close{Disposition::hold});
  desk.give(SignIn{"p-sup", Role::supervisor});
  EXPECT_EQ(desk.refusal(ReleaseHold{look, "settled"}), Category::refused);
  desk.give(LinkSerial{look, code_b, "label cleaned"});
  EXPECT_TRUE(only<HoldReleased>(desk.give(ReleaseHold{look, "settled"})));
}

class HeldForTwo : public HeldUnit {
 protected:
  HeldForTwo() : HeldUnit(HoldRule::two_people) {}
};

TEST_F(HeldForTwo, IsReleasedByTwoDifferentPeople) {
  supervisor();
  EXPECT_EQ(said(desk.give(ReleaseHold{held, "settled"})), "two_people_needed");
  EXPECT_EQ(said(desk.give(ReleaseHold{held, "settled", "p-sup"})), "two_people_needed");
  const Outcome outcome = desk.give(ReleaseHold{held, "settled", "p-ina"});
  const auto* released = only<HoldReleased>(outcome);
  ASSERT_TRUE(released);
  EXPECT_EQ(released->second_person, "p-ina");
}

class HeldForAnyone : public HeldUnit {
 protected:
  HeldForAnyone() : HeldUnit(HoldRule::anyone) {}
};

TEST_F(HeldForAnyone, IsAcceptedByWhoLooksAtItAgain) {
  EXPECT_THAT(looked_at_again(), ElementsAre(Disposition::accept));
}

}  // namespace
}  // namespace lastlook::flows
