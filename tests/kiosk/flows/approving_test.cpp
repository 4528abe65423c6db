// SPDX-License-Identifier: Apache-2.0
// Which model judges: a quality engineer says so, and nobody else.
#include "kiosk/flows/approving.h"

#include "tests/kiosk/flows/testing/desk.h"

namespace lastlook::flows {
namespace {

using namespace testing;
using ::testing::ElementsAre;
using ::testing::IsEmpty;

ModelApproved taught(const std::string& model) {
  ModelApproved approval;
  approval.model = model;
  approval.file = "file of " + model;
  approval.variants = {"CP-210"};
  approval.pictures = 12;
  approval.gaps = {{"seal", 0.9, 0.1, false, false}, {"lid", 0.8, 0.3, true, false}};
  return approval;
}

Desk with(Role role) {
  Desk desk;
  desk.give(SignIn{"p-x", role});
  return desk;
}

OpinionArrived opinion_of(const Desk& desk, const std::string& model) {
  OpinionArrived event;
  event.tag_serial = unit_a;
  event.opinion.look = desk.state.open->opened.look;
  event.opinion.model = model;
  return event;
}

TEST(Approving, IsForTheQualityEngineerAlone) {
  for (const Role role : {Role::inspector, Role::supervisor, Role::administrator}) {
    Desk desk = with(role);
    EXPECT_EQ(teaching_refused(desk.state)->code, "needs_quality_engineer");
    const Outcome outcome = desk.give(ApproveModel{taught("m-1"), "p-x"});
    EXPECT_EQ(said(outcome), "needs_quality_engineer");
    EXPECT_THAT(outcome.happenings, IsEmpty());
    EXPECT_FALSE(desk.state.model);
  }
  Desk desk = with(Role::quality_engineer);
  EXPECT_FALSE(teaching_refused(desk.state));
  EXPECT_THAT(kinds(desk.give(ApproveModel{taught("m-1"), "p-x"})), ElementsAre("model_approved"));
  EXPECT_EQ(desk.state.model->model, "m-1");
}

TEST(Approving, NobodySignedInApprovesNothing) {
  Desk desk;
  EXPECT_EQ(teaching_refused(desk.state)->code, "sign_in_first");
  EXPECT_EQ(said(desk.give(ApproveModel{taught("m-1"), "p-x"})), "sign_in_first");
}

TEST(Approving, WaitsUntilNoUnitIsOpen) {
  Desk desk = with(Role::quality_engineer);
  desk.give(Scan{code_a});
  EXPECT_EQ(said(desk.give(ApproveModel{taught("m-1"), "p-x"})), "close_or_park_first");
  EXPECT_EQ(said(desk.give(GoBackToModel{"m-0", "it misses lids", "p-x"})), "close_or_park_first");
}

TEST(Approving, NamesTheModelBefore) {
  Desk desk = with(Role::quality_engineer);
  ModelApproved first = taught("m-1");
  first.before = "m-0";  // judged here without an approval
  first.before_file = "file of m-0";
  desk.give(ApproveModel{first, "p-x"});
  EXPECT_EQ(desk.state.model->before, "m-0");
  ModelApproved second = taught("m-2");
  second.before = "made up";
  desk.give(ApproveModel{second, "p-x"});
  EXPECT_EQ(desk.state.model->before, "m-1") << "the journal knows better";
  EXPECT_EQ(desk.state.model->before_file, "file of m-1");
}

TEST(Approving, OverlappingScoresAreDecidedByAPerson) {
  Desk desk = with(Role::quality_engineer);
  ModelApproved approval = taught("m-1");
  approval.gaps.push_back({"tag", 0.4, 0.6, false, false});
  const Outcome refused = desk.give(ApproveModel{approval, "p-x"});
  EXPECT_EQ(said(refused), "overlap_undecided");
  EXPECT_THAT(refused.notices.front().subjects, ElementsAre("tag"));
  EXPECT_FALSE(desk.state.model);
  approval.gaps.back().overlap_accepted = true;
  desk.give(ApproveModel{approval, "p-x"});
  EXPECT_TRUE(desk.state.model->gaps.back().overlap_accepted);
  // Touching scores are no gap either.
  approval.model = "m-2";
  approval.gaps.back() = {"tag", 0.5, 0.5, false, false};
  EXPECT_EQ(said(desk.give(ApproveModel{approval, "p-x"})), "overlap_undecided");
}

TEST(Approving, TheModelInUseIsNotApprovedAgain) {
  Desk desk = with(Role::quality_engineer);
  desk.give(ApproveModel{taught("m-1"), "p-x"});
  EXPECT_EQ(said(desk.give(ApproveModel{taught("m-1"), "p-x"})), "model_in_use");
  EXPECT_EQ(said(desk.give(GoBackToModel{"m-1", "why not", "p-x"})), "model_in_use");
}

TEST(Approving, WithoutAFileThereIsNothingToApprove) {
  Desk desk = with(Role::quality_engineer);
  ModelApproved approval = taught("m-1");
  approval.file.clear();
  EXPECT_EQ(desk.refusal(ApproveModel{approval, "p-x"}), Category::bad_input);
}

TEST(GoingBack, IsAnApprovalThatSaysWhy) {
  Desk desk = with(Role::quality_engineer);
  ModelApproved first = taught("m-1");
  first.before = "m-0";
  first.before_file = "file of m-0";
  desk.give(ApproveModel{first, "p-x"});
  desk.give(ApproveModel{taught("m-2"), "p-x"});
  EXPECT_EQ(desk.refusal(GoBackToModel{"m-1", " ", "p-x"}), Category::bad_input);
  EXPECT_EQ(desk.refusal(GoBackToModel{"m-9", "a guess", "p-x"}), Category::not_found);
  desk.give(GoBackToModel{"m-1", "stops good lids", "p-x"});
  EXPECT_EQ(desk.state.model->model, "m-1");
  EXPECT_EQ(desk.state.model->file, "file of m-1");
  EXPECT_EQ(desk.state.model->before, "m-2");
  EXPECT_EQ(desk.state.model->why, "stops good lids");
  EXPECT_EQ(desk.state.model->pictures, 12);
  EXPECT_EQ(desk.state.model->gaps, taught("m-1").gaps) << "what was accepted then still is";
  // Further back, to the one that judged before any was approved.
  desk.give(GoBackToModel{"m-0", "stops good seals", "p-x"});
  EXPECT_EQ(desk.state.model->file, "file of m-0");
}

TEST(GoingBack, IsForTheQualityEngineerAlone) {
  Desk desk = with(Role::quality_engineer);
  desk.give(ApproveModel{taught("m-1"), "p-x"});
  desk.give(ApproveModel{taught("m-2"), "p-x"});
  for (const Role role : {Role::inspector, Role::supervisor, Role::administrator}) {
    desk.give(SignIn{"p-" + std::string(to_word(role)), role});
    EXPECT_EQ(said(desk.give(GoBackToModel{"m-1", "why", "p-x"})), "needs_quality_engineer");
    EXPECT_EQ(desk.state.model->model, "m-2");
  }
  desk.give(SignIn{"p-x", Role::quality_engineer});
  desk.give(GoBackToModel{"m-1", "why", "p-x"});
  EXPECT_EQ(desk.state.model->model, "m-1");
}

// Signed in between the touch and the entry: it would stand under the wrong name.
TEST(Approving, IsInTheNameOfTheOneWhoTouched) {
  Desk desk = with(Role::quality_engineer);
  desk.give(ApproveModel{taught("m-1"), "p-x"});
  desk.give(ApproveModel{taught("m-2"), "p-x"});
  desk.give(SignIn{"p-other", Role::quality_engineer});
  const Outcome approved = desk.give(ApproveModel{taught("m-3"), "p-x"});
  EXPECT_EQ(said(approved), "signed_in_since");
  EXPECT_THAT(approved.happenings, IsEmpty());
  EXPECT_EQ(said(desk.give(GoBackToModel{"m-1", "why", "p-x"})), "signed_in_since");
  EXPECT_EQ(desk.state.model->model, "m-2");
  desk.give(ApproveModel{taught("m-3"), "p-other"});
  EXPECT_EQ(desk.state.model->model, "m-3");
}

TEST(GoingBack, NeedsSomethingToGoBackFrom) {
  Desk desk = with(Role::quality_engineer);
  EXPECT_EQ(desk.refusal(GoBackToModel{"m-1", "why", "p-x"}), Category::not_found);
}

TEST(Approved, OnlyThatModelsOpinionsCount) {
  Desk desk = with(Role::quality_engineer);
  desk.give(Scan{code_a});
  EXPECT_THAT(kinds(desk.give(opinion_of(desk, "m-0"))), ElementsAre("opinion_given"))
      << "none was approved yet: any may judge";
  desk.give(Park{ParkReason::other});
  desk.give(ApproveModel{taught("m-1"), "p-x"});
  desk.give(Resume{desk.state.parked[0].opened.look});
  const Outcome outcome = desk.give(opinion_of(desk, "m-0"));
  EXPECT_EQ(said(outcome), "model_not_approved");
  EXPECT_THAT(outcome.happenings, IsEmpty());
  EXPECT_THAT(kinds(desk.give(opinion_of(desk, "m-1"))), ElementsAre("opinion_given"));
}

// The proof is keyed by model: what the one before had proved does not hold for the new one.
TEST(Approved, AnotherModelNeedsItsOwnProof) {
  Desk desk = with(Role::quality_engineer);
  desk.state.master.challenge_parts = {{"99999-00001", "CP-210", {}},
                                       {"99999-00002", "CP-210", {"seal"}}};
  const auto show = [&](const std::string& part, const char* seal, const std::string& model) {
    desk.give(Scan{part});
    OpinionArrived event;
    event.tag_serial = part;
    event.opinion.look = desk.state.challenge.open->showing;
    event.opinion.model = model;
    for (const char* component : {"seal", "lid", "tag"}) {
      event.opinion.components.emplace_back().component = component;
      event.opinion.components.back().conforming = component == std::string("seal") ? seal : "yes";
    }
    return desk.give(event);
  };
  desk.give(ApproveModel{taught("m-1"), "p-x"});
  show("99999-00001", "yes", "m-1");
  show("99999-00002", "no", "m-1");
  EXPECT_THAT(proofs_due(desk.state, "m-1", desk.now), IsEmpty());
  desk.give(ApproveModel{taught("m-2"), "p-x"});
  EXPECT_EQ(proofs_due(desk.state, "m-2", desk.now).size(), 1U);
  EXPECT_EQ(said(show("99999-00001", "yes", "m-1")), "model_not_approved");
  EXPECT_TRUE(desk.state.challenge.open);
}

}  // namespace
}  // namespace lastlook::flows
