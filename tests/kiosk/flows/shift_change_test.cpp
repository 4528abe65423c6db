// SPDX-License-Identifier: Apache-2.0
// Rule 11 of the trade (common practice): the open unit is parked or handed over by an entry, and a
// new revision starts with the next unit.
#include "kiosk/text/master_json.h"
#include "tests/kiosk/flows/testing/desk.h"

namespace lastlook::flows {
namespace {

using namespace testing;
using ::testing::ElementsAre;
using ::testing::IsEmpty;

TEST(ShiftChange, APersonSignsInAndOut) {
  Desk desk;
  EXPECT_EQ(stage_of(desk.state), Stage::signed_out);
  EXPECT_THAT(kinds(desk.give(SignIn{"p-sup", Role::supervisor})), ElementsAre("signed_in"));
  EXPECT_EQ(desk.state.role, Role::supervisor);
  EXPECT_THAT(desk.give(SignIn{"p-sup", Role::supervisor}).happenings, IsEmpty());
  EXPECT_THAT(kinds(desk.give(SignOut{})), ElementsAre("signed_out"));
  EXPECT_EQ(stage_of(desk.state), Stage::signed_out);
  EXPECT_THAT(desk.give(SignOut{}).happenings, IsEmpty());
  EXPECT_EQ(desk.refusal(SignIn{}), Category::bad_input);
}

// Rule 11 (common practice): what stands against signing in is set aside by a supervisor, with a
// reason and for a limited time.
class Barred : public ::testing::Test {
 protected:
  AllowSignIn allow(Role role = Role::supervisor) const {
    AllowSignIn event;
    event.person = "p-ada";
    event.despite = Bar::not_qualified;
    event.why = "renewed";
    event.minutes = 60;
    event.by = "p-sup";
    event.role = role;
    return event;
  }
  Outcome sign_in(std::vector<Bar> bars) {
    return desk.give(SignIn{"p-ada", Role::inspector, std::move(bars)});
  }
  Desk desk;
};

TEST_F(Barred, NobodySignsInUnlessItIsSetAside) {
  EXPECT_EQ(said(sign_in({Bar::not_qualified})), "sign_in_not_qualified");
  EXPECT_EQ(said(sign_in({Bar::locked_out})), "sign_in_locked_out");
  EXPECT_EQ(stage_of(desk.state), Stage::signed_out);
  const Outcome allowed = desk.give(allow());
  ASSERT_THAT(kinds(allowed), ElementsAre("sign_in_allowed"));
  EXPECT_EQ(std::get<SignInAllowed>(allowed.happenings[0]).until_us,
            desk.now.wall_us + 3'600'000'000);
  EXPECT_EQ(said(sign_in({Bar::locked_out})), "sign_in_locked_out") << "of another bar";
  EXPECT_EQ(said(sign_in({Bar::locked_out, Bar::not_qualified})), "sign_in_locked_out");
  EXPECT_THAT(kinds(sign_in({Bar::not_qualified})), ElementsAre("signed_in"));
}

TEST_F(Barred, ForALimitedTimeOnly) {
  desk.give(allow());
  desk.now.wall_us += 3'600'000'000;
  EXPECT_EQ(said(sign_in({Bar::not_qualified})), "sign_in_not_qualified");
}

TEST_F(Barred, ByASupervisorOrQualityEngineerAndNoOther) {
  for (const Role role : {Role::inspector, Role::administrator})
    EXPECT_EQ(said(desk.give(allow(role))), "needs_other_role") << to_word(role);
  for (const Role role : {Role::supervisor, Role::quality_engineer})
    EXPECT_THAT(kinds(desk.give(allow(role))), ElementsAre("sign_in_allowed")) << to_word(role);
}

TEST_F(Barred, NotByOneselfNotWithoutAReasonNotForLongerThanAShift) {
  AllowSignIn own = allow(), mute = allow(), endless = allow(), none = allow();
  own.by = own.person;
  mute.why = " ";
  endless.minutes = longest_allowance_min + 1;
  none.minutes = 0;
  EXPECT_EQ(desk.refusal(own), Category::refused);
  for (const AllowSignIn& event : {mute, endless, none})
    EXPECT_EQ(desk.refusal(event), Category::bad_input);
}

TEST(ShiftChange, SigningOutParksTheOpenUnit) {
  Desk desk = Desk::with_open_unit();
  desk.give(AnswerStep{"seal"});
  const Outcome outcome = desk.give(SignOut{});
  ASSERT_THAT(kinds(outcome), ElementsAre("look_parked", "signed_out"));
  EXPECT_EQ(std::get<LookParked>(outcome.happenings[0]).reason, ParkReason::shift_change);
  EXPECT_EQ(outcome.notices, (std::vector<Notice>{{"parked_at_sign_out", {unit_a}}}));
  EXPECT_EQ(desk.state.parked.at(0).steps[0].answer, Answer::conforming);
}

TEST(ShiftChange, SigningInOverAnotherPersonTakesTheOpenUnitOver) {
  Desk desk = Desk::with_open_unit();
  desk.give(AnswerStep{"seal"});
  const OpenLook before = *desk.state.open;
  const Outcome outcome = desk.give(SignIn{"p-bo", Role::inspector});
  EXPECT_THAT(kinds(outcome),
              ElementsAre("look_parked", "signed_out", "signed_in", "look_resumed"));
  EXPECT_EQ(outcome.notices, (std::vector<Notice>{{"handed_over", {unit_a}}}));
  EXPECT_EQ(desk.state.open, before) << "every answer is as it was";
  EXPECT_EQ(desk.state.person, "p-bo");
}

TEST(ShiftChange, BetweenUnitsOnlyThePersonChanges) {
  Desk desk = Desk::with_inspector();
  EXPECT_THAT(kinds(desk.give(SignIn{"p-bo", Role::inspector})),
              ElementsAre("signed_out", "signed_in"));
}

// --- revisions -----------------------------------------------------------------------------------

TEST(ShiftChange, ANoteForTheNextShiftIsKeptAsItWasWritten) {
  Desk desk;
  EXPECT_THAT(desk.give(LeaveNote{"lamp 2 flickers"}).notices,
              ElementsAre(Notice{"sign_in_first", {}}));
  desk.give(SignIn{"p-ada", Role::inspector});
  const Outcome outcome = desk.give(LeaveNote{"lamp 2 flickers"});
  ASSERT_THAT(kinds(outcome), ElementsAre("handover_noted"));
  EXPECT_EQ(std::get<HandoverNoted>(outcome.happenings[0]).note, "lamp 2 flickers");
  EXPECT_EQ(desk.refusal(LeaveNote{"  "}), Category::bad_input);
  EXPECT_EQ(desk.refusal(LeaveNote{std::string(longest_note + 1, 'x')}), Category::bad_input);
}

AdoptMaster revision(std::int64_t number) {
  AdoptMaster event;
  event.master = domain::testing::small_plant();
  event.master.revision = number;
  event.master.variants[0].checklist.pop_back();  // two steps now
  event.document = text::write_master(event.master);
  event.approved_by = "p-qe";
  return event;
}

TEST(ShiftChange, ANewRevisionIsAdoptedBetweenUnitsEvenWithNobodyThere) {
  Desk desk;
  EXPECT_THAT(kinds(desk.give(revision(8))), ElementsAre("master_adopted"));
  EXPECT_EQ(desk.state.master, revision(8).master);
}

TEST(ShiftChange, TheOpenUnitKeepsTheRevisionItBeganUnder) {
  Desk desk = Desk::with_open_unit();
  EXPECT_EQ(desk.refusal(revision(8)), Category::refused);
}

TEST(ShiftChange, AParkedUnitKeepsItsChecklistTheNextUnitHasTheNewOne) {
  Desk desk = Desk::with_open_unit();
  const std::string look = desk.state.open->opened.look;
  desk.give(Park{});
  desk.give(revision(8));
  desk.give(Scan{code_b});
  EXPECT_EQ(desk.state.open->opened.revision, 8);
  EXPECT_EQ(desk.state.open->steps.size(), 2U);
  desk.give(Park{});
  desk.give(Resume{look});
  EXPECT_EQ(desk.state.open->opened.revision, 7);
  EXPECT_EQ(desk.state.open->steps.size(), 3U);
}

TEST(ShiftChange, AVariantConfirmedLateComesFromTheLooksOwnRevision) {
  Desk desk = Desk::with_inspector();
  desk.give(Scan{"26330-00777"});
  const std::string look = desk.state.open->opened.look;
  desk.give(Park{});
  desk.give(revision(8));
  desk.give(Resume{look});
  desk.give(ConfirmVariant{"CP-210"});
  EXPECT_EQ(desk.state.open->steps.size(), 3U);
}

TEST(ShiftChange, OnlyANewerApprovedRevisionIsAdopted) {
  Desk desk;
  EXPECT_EQ(desk.refusal(revision(7)), Category::refused);
  AdoptMaster event = revision(8);
  event.approved_by = "";
  EXPECT_EQ(desk.refusal(event), Category::refused);
}

TEST(ShiftChange, ADocumentThatSaysSomethingElseIsNotAdopted) {
  Desk desk;
  AdoptMaster event = revision(8);
  event.document = revision(9).document;
  EXPECT_EQ(desk.refusal(event), Category::bad_input);
  event.document = "{";
  EXPECT_EQ(desk.refusal(event), Category::bad_input);
}

}  // namespace
}  // namespace lastlook::flows
