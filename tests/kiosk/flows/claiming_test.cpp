// SPDX-License-Identifier: Apache-2.0
// Claims from the field: who enters and judges them, and what a judgement needs.
#include "tests/kiosk/flows/testing/desk.h"

namespace lastlook::flows {
namespace {

using namespace testing;
using ::testing::ElementsAre;

const ClaimOpened leaks{"C-1", "26330-00417", "2026-11-20", "leaks at the connector"};

ClaimJudged escaped() {
  return {"C-1", "26330-00417", ClaimVerdict::escaped, "seal", "", "no seal in the connector"};
}

TEST(Claiming, IsOfTheQualityEngineerAlone) {
  for (const Role role : {Role::inspector, Role::supervisor, Role::administrator}) {
    Desk desk;
    desk.give(SignIn{"p-x", role});
    EXPECT_EQ(said(desk.give(OpenClaim{leaks, "p-x"})), "needs_quality_engineer");
    EXPECT_EQ(said(desk.give(JudgeClaim{escaped(), "p-x"})), "needs_quality_engineer");
    EXPECT_EQ(said(desk.give(OpenClaim{leaks, " "})), "needs_quality_engineer");
  }
  Desk desk;  // nobody is signed in: the caller has let the engineer prove who it is
  EXPECT_THAT(kinds(desk.give(OpenClaim{leaks, "p-quin"})), ElementsAre("claim_opened"));
  EXPECT_THAT(kinds(desk.give(JudgeClaim{escaped(), "p-quin"})), ElementsAre("claim_judged"));
}

TEST(Claiming, IsOpenedOnceAndJudgedAsOftenAsNeeded) {
  Desk desk;
  EXPECT_EQ(desk.refusal(JudgeClaim{escaped(), "p-quin"}), Category::not_found);
  desk.give(OpenClaim{leaks, "p-quin"});
  EXPECT_EQ(desk.refusal(OpenClaim{leaks, "p-quin"}), Category::refused);
  ClaimOpened other = leaks;
  other.claim = "C-2";
  EXPECT_THAT(kinds(desk.give(OpenClaim{other, "p-quin"})), ElementsAre("claim_opened"));
  desk.give(JudgeClaim{escaped(), "p-quin"});
  ClaimJudged again = escaped();
  again.verdict = ClaimVerdict::not_visible;
  EXPECT_THAT(kinds(desk.give(JudgeClaim{again, "p-quin"})), ElementsAre("claim_judged"));
}

TEST(Claiming, SaysWhatIsMissing) {
  Desk desk;
  for (const auto& spoil : std::vector<void (*)(ClaimOpened&)>{
           [](ClaimOpened& claim) { claim.claim = " "; },
           [](ClaimOpened& claim) { claim.serial = ""; },
           [](ClaimOpened& claim) { claim.complaint = ""; },
           [](ClaimOpened& claim) { claim.reported = "20.11.2026"; },
           [](ClaimOpened& claim) { claim.reported = "2026-02-30"; }}) {
    ClaimOpened claim = leaks;
    spoil(claim);
    EXPECT_EQ(desk.refusal(OpenClaim{claim, "p-quin"}), Category::bad_input);
  }
  desk.give(OpenClaim{leaks, "p-quin"});
  for (const auto& spoil : std::vector<void (*)(ClaimJudged&)>{
           [](ClaimJudged& verdict) { verdict.why = ""; },
           [](ClaimJudged& verdict) { verdict.component = "wheel"; },
           [](ClaimJudged& verdict) { verdict.defect = "sad"; },
           [](ClaimJudged& verdict) { verdict.component = ""; }}) {
    ClaimJudged verdict = escaped();
    spoil(verdict);
    EXPECT_EQ(desk.refusal(JudgeClaim{verdict, "p-quin"}), Category::bad_input);
  }
  ClaimJudged hidden = escaped();  // what cannot be seen is at no place of the checklist
  hidden.verdict = ClaimVerdict::not_visible;
  hidden.component = "";
  EXPECT_THAT(kinds(desk.give(JudgeClaim{hidden, "p-quin"})), ElementsAre("claim_judged"));
}

TEST(Claiming, GoesOnWhileAUnitLiesBeforeTheInspector) {
  Desk desk;
  desk.give(SignIn{"p-ina", Role::inspector});
  const Inspection before = desk.state;
  desk.give(OpenClaim{leaks, "p-quin"});
  EXPECT_EQ(desk.state, before);
}

}  // namespace
}  // namespace lastlook::flows
