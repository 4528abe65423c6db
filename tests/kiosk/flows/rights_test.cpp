// SPDX-License-Identifier: Apache-2.0
// Who may do what at the station, both ways: the work on units, and a new revision where the plant
// wants two people for it. The other rights are tested with what they are for.
#include "kiosk/text/master_json.h"
#include "tests/kiosk/flows/testing/desk.h"

namespace lastlook::flows {
namespace {

using namespace testing;
using ::testing::ElementsAre;
using ::testing::IsEmpty;

// What an inspector does in a day; with an open unit, unless it opens one.
std::vector<Event> work_on_units() {
  return {Scan{code_b},
          AnswerStep{"seal", Answer::conforming},
          AddFinding{"seal", "not_seated"},
          WithdrawFinding{"f-1", "wrong unit"},
          ConfirmVariant{"CP-210"},
          Close{Disposition::hold, ""},
          Park{ParkReason::needs_advice, ""},
          Resume{"k-1"},
          NoReadableTag{},
          StartReturn{code_a},
          AnotherBody{code_a},
          EnterPaperResult{unit_a, {UpstreamTest::functional, true, "", 0}, "p-x", "p-y"},
          LeavePart{"broken"},
          RateItem{"s-1", "01", "conforming"}};
}

TEST(Rights, AnAdministratorInspectsNothing) {
  for (const Event& event : work_on_units()) {
    Desk desk;
    desk.give(SignIn{"p-x", Role::administrator});
    const Outcome outcome = desk.give(event);
    EXPECT_EQ(said(outcome), "needs_inspector") << event.index();
    EXPECT_THAT(outcome.happenings, IsEmpty()) << event.index();
  }
}

TEST(Rights, EverybodyElseInspects) {
  for (const Role role : {Role::inspector, Role::supervisor, Role::quality_engineer}) {
    for (const Event& event : work_on_units()) {
      Desk desk;
      desk.give(SignIn{"p-x", role});
      const auto outcome = desk.attempt(event);  // some need a unit, and say so
      const bool turned_down = outcome && !outcome->notices.empty() &&
                               outcome->notices.front().code == "needs_inspector";
      EXPECT_FALSE(turned_down) << event.index() << " by " << to_word(role);
    }
    Desk desk;
    desk.give(SignIn{"p-x", role});
    EXPECT_THAT(kinds(desk.give(Scan{code_a})), ElementsAre("look_opened")) << to_word(role);
    desk.answer_all();
    EXPECT_THAT(kinds(desk.give(Close{Disposition::accept, ""})), ElementsAre("look_closed"));
  }
}

TEST(Rights, AnAdministratorLeavesANoteForTheNextShift) {
  Desk desk;
  desk.give(SignIn{"p-x", Role::administrator});
  EXPECT_THAT(kinds(desk.give(LeaveNote{"The camera is a new one."})),
              ElementsAre("handover_noted"));
}

TEST(Rights, AnOpenUnitIsNotHandedOverToAnAdministrator) {
  Desk desk = Desk::with_open_unit();
  const Outcome outcome = desk.give(SignIn{"p-adm", Role::administrator});
  EXPECT_THAT(kinds(outcome), ElementsAre("look_parked", "signed_out", "signed_in"));
  EXPECT_EQ(said(outcome), "parked_at_sign_out");
  EXPECT_EQ(desk.state.parked.size(), 1U) << "with its answers, for whoever comes next";
}

class NewRevision : public ::testing::Test {
 protected:
  NewRevision() { desk.state.master.revision_approval = RevisionRule::two_people; }
  AdoptMaster adopt(const std::string& first, const std::string& second, bool of_plant = false) {
    Master next = desk.state.master;
    next.revision = 8;
    next.revision_approval = RevisionRule::quality_engineer;
    return {next, text::write_master(next), first, second, of_plant};
  }
  Desk desk;
};

TEST_F(NewRevision, TakesTwoPeopleWhereTheRevisionAtWorkWantsThem) {
  EXPECT_EQ(said(desk.give(adopt("p-quin", ""))), "two_people_needed");
  EXPECT_EQ(said(desk.give(adopt("p-quin", "p-quin"))), "two_people_needed");
  EXPECT_EQ(desk.state.master.revision, 7) << "nor does a revision do away with the rule by itself";
  const Outcome outcome = desk.give(adopt("p-quin", "p-sup"));
  const auto* adopted = only<MasterAdopted>(outcome);
  ASSERT_TRUE(adopted);
  EXPECT_EQ(adopted->approved_by, "p-quin");
  EXPECT_EQ(adopted->second_person, "p-sup");
  EXPECT_EQ(desk.state.master.revision, 8);
}

TEST_F(NewRevision, OfThePlantIsApprovedAtItsOffice) {
  EXPECT_THAT(kinds(desk.give(adopt("p-quin", "", true))), ElementsAre("master_adopted"));
}

TEST_F(NewRevision, OneIsEnoughWhereNothingElseIsSaid) {
  desk.state.master.revision_approval = RevisionRule::quality_engineer;
  EXPECT_THAT(kinds(desk.give(adopt("p-quin", ""))), ElementsAre("master_adopted"));
}

}  // namespace
}  // namespace lastlook::flows
