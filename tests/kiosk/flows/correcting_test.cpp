// SPDX-License-Identifier: Apache-2.0
// Rules 1 and 6 of the trade (common practice): a correction is an entry; a serial is linked later.
#include "tests/kiosk/flows/testing/desk.h"

namespace lastlook::flows {
namespace {

using namespace testing;
using ::testing::IsEmpty;

class AcceptedUnit : public ::testing::Test {
 protected:
  AcceptedUnit() {
    desk.answer_all();
    desk.give(Close{Disposition::accept});
    look = desk.state.last->look;
  }
  Desk desk = Desk::with_open_unit();
  std::string look;
};

TEST_F(AcceptedUnit, TheInspectorWhoClosedItPutsItRightAtOnce) {
  const auto seq = desk.past.look(look).value()->closed_seq;
  const Outcome outcome =
      desk.give(CorrectDisposition{look, Disposition::hold, "touched too early"});
  const auto* corrected = only<DispositionCorrected>(outcome);
  ASSERT_TRUE(corrected);
  EXPECT_EQ(*corrected, (DispositionCorrected{look, seq, Disposition::accept, Disposition::hold,
                                              "touched too early"}));
  EXPECT_EQ(desk.state.last->disposition, Disposition::hold);
}

TEST_F(AcceptedUnit, OnceTheNextUnitIsClosedItTakesASupervisor) {
  desk.give(Scan{code_b});
  desk.answer_all();
  desk.give(Close{Disposition::accept});
  const CorrectDisposition event{look, Disposition::hold, "second thoughts"};
  EXPECT_EQ(said(desk.give(event)), "needs_other_role");
  desk.give(SignIn{"p-sup", Role::supervisor});
  EXPECT_TRUE(only<DispositionCorrected>(desk.give(event)));
}

TEST_F(AcceptedUnit, AnotherInspectorDoesNotCorrectIt) {
  desk.give(SignIn{"p-bo", Role::inspector});
  EXPECT_EQ(said(desk.give(CorrectDisposition{look, Disposition::hold, "no"})), "needs_other_role");
  desk.give(SignIn{"p-adm", Role::administrator});
  EXPECT_EQ(said(desk.give(CorrectDisposition{look, Disposition::hold, "no"})), "needs_other_role");
  desk.give(SignIn{"p-qe", Role::quality_engineer});
  EXPECT_EQ(said(desk.give(CorrectDisposition{look, Disposition::hold, "yes"})), "");
}

TEST_F(AcceptedUnit, ACorrectionSaysWhyAndChangesSomething) {
  EXPECT_EQ(desk.refusal(CorrectDisposition{look, Disposition::hold, "\t"}), Category::bad_input);
  EXPECT_THAT(desk.give(CorrectDisposition{look, Disposition::accept, "same"}).happenings,
              IsEmpty());
  EXPECT_EQ(desk.refusal(CorrectDisposition{"k-0", Disposition::hold, "x"}), Category::not_found);
}

TEST_F(AcceptedUnit, ReworkAndScrapNeedAFindingOnRecord) {
  EXPECT_EQ(said(desk.give(CorrectDisposition{look, Disposition::rework, "x"})), "finding_needed");
  EXPECT_EQ(said(desk.give(CorrectDisposition{look, Disposition::scrap, "x"})), "finding_needed");
}

TEST(Correcting, NoCorrectionMakesAnAccept) {
  Desk desk = Desk::with_open_unit();
  desk.close_with_seal_finding(Disposition::rework);
  const std::string look = desk.state.last->look;
  desk.give(SignIn{"p-qe", Role::quality_engineer});
  const Outcome outcome = desk.give(CorrectDisposition{look, Disposition::accept, "it was dust"});
  EXPECT_EQ(said(outcome), "accept_needs_a_look");
  EXPECT_THAT(outcome.happenings, IsEmpty());
}

TEST(Correcting, AnInspectorTakesNothingOffHold) {
  Desk desk = Desk::with_open_unit();
  desk.close_with_seal_finding(Disposition::hold);
  const std::string look = desk.state.last->look;
  const CorrectDisposition event{look, Disposition::rework, "clear case"};
  EXPECT_EQ(said(desk.give(event)), "needs_other_role");
  desk.give(SignIn{"p-sup", Role::supervisor});
  EXPECT_TRUE(only<DispositionCorrected>(desk.give(event)));
}

TEST(Correcting, ALookThatIsNotClosedHasNothingToCorrect) {
  Desk desk = Desk::with_open_unit();
  EXPECT_EQ(desk.refusal(CorrectDisposition{desk.state.open->opened.look, Disposition::hold, "x"}),
            Category::refused);
}

// --- linking a serial ----------------------------------------------------------------------------

class TicketLook : public ::testing::Test {
 protected:
  TicketLook() {
    desk.give(NoReadableTag{});
    look = desk.state.open->opened.look;
    ticket = desk.state.open->opened.ticket;
    desk.give(ConfirmVariant{"CP-210"});
  }
  void hold_and_call_supervisor() {
    desk.give(Close{Disposition::hold});
    desk.give(SignIn{"p-sup", Role::supervisor});
  }
  Desk desk = Desk::with_inspector();
  std::string look, ticket;
};

TEST_F(TicketLook, AHeldUnitsSerialIsLinkedLaterByAnEntry) {
  hold_and_call_supervisor();
  const Outcome outcome = desk.give(LinkSerial{look, code_b, "label cleaned"});
  const auto* linked = only<SerialLinked>(outcome);
  ASSERT_TRUE(linked);
  EXPECT_EQ(*linked, (SerialLinked{look, ticket, unit_b, "label cleaned"}));
  EXPECT_EQ(desk.past.unit(unit_b)->looks.size(), 1U);
  EXPECT_THAT(desk.give(LinkSerial{look, code_b, "again"}).happenings, IsEmpty());
}

TEST_F(TicketLook, ALinkedLookIsNotMovedToAnotherUnit) {
  hold_and_call_supervisor();
  desk.give(LinkSerial{look, code_b, "label cleaned"});
  EXPECT_EQ(desk.refusal(LinkSerial{look, code_a, "misread a digit"}), Category::refused);
}

TEST_F(TicketLook, ItIsHeldBeforeItIsLinked) {
  desk.give(SignIn{"p-sup", Role::supervisor});
  EXPECT_EQ(said(desk.give(LinkSerial{look, code_b, "x"})), "hold_first");
  desk.give(Park{});
  EXPECT_EQ(said(desk.give(LinkSerial{look, code_b, "x"})), "hold_first");
}

TEST_F(TicketLook, AnInspectorDoesNotLinkASerial) {
  desk.give(Close{Disposition::hold});
  EXPECT_EQ(said(desk.give(LinkSerial{look, code_b, "x"})), "needs_other_role");
}

TEST_F(TicketLook, ALinkNeedsAReasonAndACodeThatReads) {
  hold_and_call_supervisor();
  EXPECT_EQ(desk.refusal(LinkSerial{look, code_b, ""}), Category::bad_input);
  EXPECT_EQ(said(desk.give(LinkSerial{look, "7", "x"})), "code_not_read");
  EXPECT_EQ(desk.refusal(LinkSerial{"k-0", code_b, "x"}), Category::not_found);
}

TEST_F(TicketLook, ALinkedUnitComesBackAsAReturn) {
  hold_and_call_supervisor();
  desk.give(LinkSerial{look, code_b, "label cleaned"});
  desk.pass_seconds(3600);
  EXPECT_EQ(said(desk.give(Scan{code_b})), "return_or_twin");
}

TEST(Correcting, ALookUnderASerialIsNotLinkedToAnother) {
  Desk desk = Desk::with_open_unit();
  desk.close_with_seal_finding(Disposition::hold);
  const std::string look = desk.state.last->look;
  desk.give(SignIn{"p-sup", Role::supervisor});
  EXPECT_EQ(desk.refusal(LinkSerial{look, code_b, "x"}), Category::refused);
}

}  // namespace
}  // namespace lastlook::flows
