// SPDX-License-Identifier: Apache-2.0
#include "tests/kiosk/flows/testing/desk.h"

namespace lastlook::flows {
namespace {

using namespace testing;

TEST(Decide, WithNobodySignedInEveryTouchAndScanAsksForAPerson) {
  Desk desk;
  const std::vector<Event> events = {Scan{code_a},
                                     NoReadableTag{},
                                     StartReturn{code_a},
                                     AnotherBody{code_a},
                                     ConfirmVariant{},
                                     AnswerStep{"seal"},
                                     AddFinding{},
                                     WithdrawFinding{},
                                     Park{},
                                     Resume{"k-0"},
                                     Close{},
                                     CorrectDisposition{},
                                     LinkSerial{},
                                     EnterPaperResult{},
                                     ReleaseHold{}};
  for (const Event& event : events) {
    const Outcome outcome = desk.give(event);
    EXPECT_EQ(said(outcome), "sign_in_first");
    EXPECT_TRUE(outcome.happenings.empty());
  }
}

TEST(Decide, DecidingChangesNothing) {
  Desk desk = Desk::with_open_unit();
  const Inspection before = desk.state;
  ASSERT_TRUE(desk.attempt(AnswerStep{"seal"}));
  EXPECT_EQ(desk.state, before);
}

}  // namespace
}  // namespace lastlook::flows
