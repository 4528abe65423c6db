// SPDX-License-Identifier: Apache-2.0
// Rule 7 of the trade: no opinion without the proof of this shift, variant and model (common
// practice: error-proofing verification with known-good and known-bad masters).
#include "kiosk/flows/challenge.h"

#include "tests/kiosk/flows/testing/desk.h"

namespace lastlook::flows {
namespace {

using namespace testing;
using ::testing::ElementsAre;
using ::testing::IsEmpty;

constexpr const char* good = "99999-00001";
constexpr const char* faulty = "99999-00002";  // seal and lid
constexpr const char* good_n = "99999-00003";  // of CP-210N
constexpr const char* faulty_n = "99999-00004";

Desk with_parts() {
  Desk desk = Desk::with_inspector();
  desk.state.master.challenge_parts = {{good, "CP-210", {}},
                                       {faulty, "CP-210", {"seal", "lid"}},
                                       {good_n, "CP-210N", {}},
                                       {faulty_n, "CP-210N", {"lid"}}};
  desk.state.master.assist_needs_proof = true;
  return desk;
}

// What the camera says: these components do not conform, the others do.
OpinionArrived opinion(const std::string& look, const std::string& tag_serial,
                       const std::vector<std::string>& wrong, const std::string& model = "m-1") {
  OpinionArrived event;
  event.tag_serial = tag_serial;
  event.opinion.look = look;
  event.opinion.model = model;
  for (const char* component : {"seal", "lid", "tag"}) {
    ComponentOpinion one;
    one.component = component;
    one.conforming = std::ranges::count(wrong, component) > 0 ? "no" : "yes";
    event.opinion.components.push_back(one);
  }
  return event;
}

Outcome show(Desk& desk, const std::string& part, const std::vector<std::string>& wrong,
             const std::string& model = "m-1") {
  desk.give(Scan{part});
  return desk.give(opinion(desk.state.challenge.open->showing, part, wrong, model));
}

void prove(Desk& desk, const std::string& model = "m-1") {
  show(desk, good, {}, model);
  show(desk, faulty, {"seal", "lid"}, model);
}

ProofState proof(const Desk& desk, const std::string& model = "m-1") {
  return proof_state(desk.state, "CP-210", model, desk.now);
}

// What becomes of an opinion on unit A, which conforms.
std::string said_of_unit(Desk& desk, const std::string& model = "m-1") {
  desk.give(Scan{code_a});
  const Outcome outcome = desk.give(opinion(desk.state.open->opened.look, unit_a, {}, model));
  return outcome.happenings.empty() ? said(outcome) : "kept";
}

TEST(Challenge, OpinionsWaitForTheProofOfTheShift) {
  Desk desk = with_parts();
  EXPECT_EQ(said_of_unit(desk), "proof_missing");
  EXPECT_FALSE(desk.state.open->opinion);
  desk.answer_all();  // complete without it
  EXPECT_THAT(kinds(desk.give(Close{Disposition::accept})), ElementsAre("look_closed"));
}

TEST(Challenge, WhereThePlantDoesNotAskForItTheyDoNotWait) {
  Desk desk = with_parts();
  desk.state.master.assist_needs_proof = false;
  EXPECT_EQ(said_of_unit(desk), "kept");
}

TEST(Challenge, EveryPartOfTheVariantMakesTheProof) {
  Desk desk = with_parts();
  EXPECT_EQ(proof(desk), ProofState::missing);
  EXPECT_EQ(said(show(desk, good, {})), "");
  EXPECT_EQ(proof(desk), ProofState::begun);
  EXPECT_EQ(said(show(desk, faulty, {"seal", "lid"})), "proof_held");
  EXPECT_EQ(proof(desk), ProofState::held);
  EXPECT_EQ(said_of_unit(desk), "kept");
}

TEST(Challenge, IsNoLook) {
  Desk desk = with_parts();
  const Outcome shown = desk.give(Scan{good});
  EXPECT_THAT(kinds(shown), ElementsAre("part_shown"));
  EXPECT_FALSE(desk.state.open);
  EXPECT_EQ(stage_of(desk.state), Stage::challenge);
  const std::string showing = desk.state.challenge.open->showing;
  EXPECT_THAT(kinds(desk.give(opinion(showing, good, {}))), ElementsAre("part_judged"));
  EXPECT_EQ(stage_of(desk.state), Stage::waiting);
  EXPECT_THAT(desk.past.unit(good)->looks, IsEmpty());
}

TEST(Challenge, GoodPartMustConformEverywhere) {
  Desk desk = with_parts();
  const Outcome outcome = show(desk, good, {"tag"});
  EXPECT_EQ(said(outcome), "part_not_met");
  const auto* judged = only<PartJudged>(outcome);
  ASSERT_TRUE(judged);
  EXPECT_THAT(judged->unmet, ElementsAre("tag"));
  EXPECT_EQ(judged->proof, "failed");
  EXPECT_EQ(proof(desk), ProofState::failed);
}

TEST(Challenge, FaultMustBeCaughtAtItsComponent) {
  Desk desk = with_parts();
  const auto judged = std::get<PartJudged>(show(desk, faulty, {"seal", "tag"}).happenings[0]);
  EXPECT_THAT(judged.unmet, ElementsAre("lid"));
  EXPECT_EQ(said_of_unit(desk), "proof_failed");
}

TEST(Challenge, UnsureIsNeitherConformingNorCaught) {
  const Desk desk = with_parts();
  const Variant& variant = *desk.state.master.variant("CP-210");
  OpinionGiven given = opinion("s", good, {}).opinion;
  given.components[1].conforming = "unsure";
  EXPECT_THAT(unmet({good, "CP-210", {}}, variant, given), ElementsAre("lid"));
  EXPECT_THAT(unmet({faulty, "CP-210", {"lid"}}, variant, given), ElementsAre("lid"));
  given.components.clear();
  EXPECT_THAT(unmet({good, "CP-210", {}}, variant, given), ElementsAre("seal", "lid", "tag"));
}

TEST(Challenge, AfterAFailureAllPartsAreShownAgain) {
  Desk desk = with_parts();
  prove(desk);
  show(desk, faulty, {"seal"});
  EXPECT_EQ(proof(desk), ProofState::failed);
  show(desk, faulty, {"seal", "lid"});
  EXPECT_EQ(proof(desk), ProofState::failed) << "the good one is still to come";
  show(desk, good, {});
  EXPECT_EQ(proof(desk), ProofState::held);
}

TEST(Challenge, HoldsForItsShiftVariantAndModelOnly) {
  Desk desk = with_parts();
  prove(desk);
  EXPECT_EQ(proof(desk, "m-2"), ProofState::missing);
  EXPECT_EQ(proof_state(desk.state, "CP-210N", "m-1", desk.now), ProofState::missing);
  EXPECT_EQ(said_of_unit(desk, "m-2"), "proof_missing");
  desk.pass_seconds(8 * 3600);  // shifts of eight hours
  EXPECT_EQ(proof(desk), ProofState::missing);
}

TEST(Challenge, AnotherCameraNeedsItsOwn) {
  Desk desk = with_parts();
  desk.give(UseCamera{"camera-1"});
  prove(desk);
  EXPECT_THAT(desk.give(UseCamera{"camera-1"}).happenings, IsEmpty());
  EXPECT_EQ(proof(desk), ProofState::held);
  EXPECT_THAT(kinds(desk.give(UseCamera{"camera-2"})), ElementsAre("camera_changed"));
  EXPECT_EQ(proof(desk), ProofState::missing);
}

TEST(Challenge, NewPartInTheMasterDataIsStillToBeShown) {
  Desk desk = with_parts();
  prove(desk);
  desk.state.master.challenge_parts.push_back({"99999-00009", "CP-210", {"tag"}});
  EXPECT_EQ(proof(desk), ProofState::begun);
}

TEST(Challenge, SaysWhatIsDue) {
  Desk desk = with_parts();
  show(desk, faulty, {"seal", "lid"});
  EXPECT_THAT(proofs_due(desk.state, "m-1", desk.now),
              ElementsAre(Due{"CP-210", ProofState::begun, {good}},
                          Due{"CP-210N", ProofState::missing, {good_n, faulty_n}}));
  show(desk, good, {});
  EXPECT_THAT(proofs_due(desk.state, "m-1", desk.now),
              ElementsAre(Due{"CP-210N", ProofState::missing, {good_n, faulty_n}}));
}

TEST(Challenge, SaysWhereNoPartHasAFault) {
  const Desk desk = with_parts();
  EXPECT_THAT(unchallenged(desk.state.master, "CP-210"), ElementsAre("tag"));
  EXPECT_THAT(unchallenged(desk.state.master, "CP-210N"), ElementsAre("seal", "tag"));
}

TEST(Challenge, OnlyAFrameWithThePartsTagCounts) {
  Desk desk = with_parts();
  desk.give(Scan{good});
  const std::string showing = desk.state.challenge.open->showing;
  EXPECT_THAT(desk.give(opinion(showing, faulty, {})).happenings, IsEmpty());
  EXPECT_THAT(desk.give(opinion("another showing", good, {})).happenings, IsEmpty());
  EXPECT_EQ(stage_of(desk.state), Stage::challenge);
}

TEST(Challenge, OneThingAtATime) {
  Desk desk = with_parts();
  desk.give(Scan{good});
  EXPECT_EQ(said(desk.give(Scan{code_a})), "part_open");
  EXPECT_EQ(said(desk.give(Scan{good})), "double_scan");
  EXPECT_EQ(said(desk.give(NoReadableTag{})), "part_open");
  EXPECT_EQ(desk.refusal(LeavePart{" "}), Category::bad_input);
  EXPECT_THAT(kinds(desk.give(LeavePart{"too dark"})), ElementsAre("part_left"));
  EXPECT_EQ(stage_of(desk.state), Stage::waiting);
  EXPECT_EQ(proof(desk), ProofState::missing) << "it proves nothing and fails nothing";
  EXPECT_EQ(desk.refusal(LeavePart{"again"}), Category::refused);
}

TEST(Challenge, PartScannedWhileAUnitIsOpenChangesNothing) {
  Desk desk = with_parts();
  desk.give(Scan{code_a});
  EXPECT_EQ(said(desk.give(Scan{good})), "other_unit_open");
  EXPECT_FALSE(desk.state.challenge.open);
}

}  // namespace
}  // namespace lastlook::flows
