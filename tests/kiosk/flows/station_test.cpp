// SPDX-License-Identifier: Apache-2.0
// The flow over real records in a real folder: what was acknowledged is there after the program was
// not.
#include "kiosk/flows/station.h"

#include "kiosk/records/shift_queries.h"
#include "tests/kiosk/records/station.h"

namespace lastlook::flows {
namespace {

using namespace domain;
using records::testing::must;
using records::testing::sql;
using ::testing::ElementsAre;
using ::testing::IsEmpty;
using ::testing::SizeIs;

constexpr const char* serial = "26330-00001";
constexpr const char* code = "CP210-26330-00001";

class StationTest : public ::testing::Test {
 protected:
  StationTest() {
    const std::int64_t before_us = folder.clock.now.wall_us - 60'000'000;
    for (const char* each : {serial, "26330-00002"})
      folder.happen(UnitBuilt{each,
                              "CP-210",
                              {{UpstreamTest::leak, true, "2 Pa/s", before_us},
                               {UpstreamTest::functional, true, "", before_us}}});
    open();
    give(SignIn{"p-ina", Role::inspector});
  }

  void open() { station = must(Station::open(*folder.records, folder.clock)); }

  // As after a crash: nothing is said to the old one, a new program opens the folder.
  void start_again() {
    station.reset();
    folder.reopen();
    open();
  }

  Outcome give(const Event& event) {
    folder.clock.pass(1);
    return must(station->handle(event));
  }

  void answer_all() {
    const auto steps = station->state().open->steps;
    for (const StepState& step : steps) give(AnswerStep{step.step.component});
  }

  std::vector<std::string> on_disk(const std::string& query) {
    return sql(folder.folder.path() / "records.db", query);
  }

  records::testing::Station folder;
  std::unique_ptr<Station> station;
};

TEST_F(StationTest, OpensAtTheSameStepWithEveryAnswer) {
  give(Scan{code});
  give(AnswerStep{"seal", Answer::conforming, "present"});
  give(AddFinding{"lid", "not_seated", Severity::minor, Place{0.5, 0.25}, "", "hinge side"});
  const Inspection before = station->state();
  start_again();
  EXPECT_EQ(station->state(), before);
  EXPECT_EQ(next_step(*station->state().open), 2U);
}

TEST_F(StationTest, OpensTheSameAfterEveryTouch) {
  const std::vector<Event> touches = {
      Scan{code},
      AnswerStep{"seal", Answer::nonconforming},
      AddFinding{"seal", "missing"},
      Scan{"CP210-26330-00002"},
      Park{ParkReason::needs_advice, "ask"},
      NoReadableTag{},
      ConfirmVariant{"CP-210N"},
      SignIn{"p-bo", Role::supervisor},
      AddFinding{"lid", "not_wanted"},
      Close{Disposition::hold},
      AnotherBody{code},
      SignOut{},
  };
  for (const Event& touch : touches) {
    give(touch);
    Inspection before = station->state();
    before.last.reset();  // what is told of the unit just closed is not told again
    start_again();
    EXPECT_EQ(station->state(), before) << touch.index();
  }
  EXPECT_THAT(station->state().parked, SizeIs(2));
}

TEST_F(StationTest, AnAcceptedUnitIsOneRowAndOneCount) {
  give(Scan{code});
  answer_all();
  give(Close{Disposition::accept});
  EXPECT_THAT(on_disk("SELECT serial, state, disposition, closed_by FROM look"),
              ElementsAre("26330-00001|closed|accept|p-ina"));
  const auto counts = must(records::look_counts(*folder.records, {}));
  EXPECT_EQ(counts.first_pass, 1);
  EXPECT_EQ(counts.looks, 1);
}

TEST_F(StationTest, TheJournalSaysWhoTouchedAndThatTheCameraIsNobody) {
  give(Scan{code});
  OpinionArrived opinion;
  opinion.opinion.look = station->state().open->opened.look;
  opinion.opinion.model = "m-1";
  opinion.tag_serial = serial;
  give(opinion);
  give(SignIn{"p-bo", Role::inspector});
  give(AnswerStep{"seal"});
  EXPECT_THAT(
      on_disk("SELECT kind, actor FROM entry ORDER BY seq DESC LIMIT 7"),
      ElementsAre("step_answered|p-bo", "look_resumed|p-bo", "signed_in|p-bo", "signed_out|p-bo",
                  "look_parked|p-bo", "opinion_given|station", "look_opened|p-ina"));
}

TEST_F(StationTest, WhatTheDiskDidNotKeepDidNotHappen) {
  give(Scan{code});
  const Inspection before = station->state();
  // Somebody else's program wrote to the file: the answer can no longer be kept.
  on_disk("CREATE TRIGGER full BEFORE INSERT ON entry BEGIN SELECT RAISE(ABORT, 'full'); END");
  EXPECT_FALSE(station->handle(AnswerStep{"seal"}));
  EXPECT_EQ(station->state(), before);
  on_disk("DROP TRIGGER full");
  give(AnswerStep{"seal"});
  EXPECT_EQ(station->state().open->steps[0].answer, Answer::conforming);
}

TEST_F(StationTest, AReturnFindsItsHistoryAfterARestart) {
  give(Scan{code});
  give(AddFinding{"seal", "not_seated"});
  give(Close{Disposition::rework});
  folder.clock.pass(3600);
  start_again();
  EXPECT_EQ(give(Scan{code}).notices,
            (std::vector<Notice>{{"return_or_twin", {serial, "rework", "1"}}}));
  give(StartReturn{code});
  EXPECT_EQ(station->state().open->opened.number, 2);
  answer_all();
  const Outcome refused = give(Close{Disposition::accept});
  EXPECT_THAT(refused.obstacles, ElementsAre(Obstacle{Obstacle::Why::result_missing, "leak"}))
      << "the rework voided it";
}

TEST_F(StationTest, AParkedLookKeepsItsRevisionOverARestart) {
  give(Scan{code});
  const std::string look = station->state().open->opened.look;
  give(Park{});
  AdoptMaster event;
  event.master = domain::testing::small_plant();
  event.master.revision = 8;
  event.master.variants[0].checklist.pop_back();
  event.document = text::write_master(event.master);
  event.approved_by = "p-qe";
  give(event);
  start_again();
  EXPECT_EQ(station->state().master.revision, 8);
  give(Resume{look});
  EXPECT_THAT(station->state().open->steps, SizeIs(3));
  give(Park{});
  give(Scan{"CP210-26330-00002"});
  EXPECT_THAT(station->state().open->steps, SizeIs(2));
}

TEST_F(StationTest, ATicketIsHeldLinkedAndCorrectedByEntries) {
  give(NoReadableTag{});
  const std::string look = station->state().open->opened.look;
  give(Close{Disposition::hold});
  EXPECT_THAT(on_disk("SELECT why FROM waiting"), ElementsAre("no_tag"));
  give(SignIn{"p-sup", Role::supervisor});
  give(LinkSerial{look, code, "label cleaned"});
  EXPECT_THAT(must(station->lookups().unit(serial)).looks, SizeIs(1));
  EXPECT_THAT(on_disk("SELECT disposition FROM look"), ElementsAre("hold"));
}

TEST_F(StationTest, ADispositionCorrectedTwiceNamesTheEntryItCorrects) {
  give(Scan{code});
  give(AddFinding{"seal", "missing"});
  give(Close{Disposition::rework});
  const std::string look = station->state().last->look;
  give(CorrectDisposition{look, Disposition::hold, "ask first"});
  give(SignIn{"p-sup", Role::supervisor});
  give(CorrectDisposition{look, Disposition::scrap, "beyond repair"});
  EXPECT_THAT(on_disk("SELECT e.kind || '<-' || json_extract(c.body, '$.to') FROM entry c JOIN "
                      "entry e ON e.seq = json_extract(c.body, '$.corrects_seq') WHERE c.kind = "
                      "'disposition_corrected' ORDER BY c.seq"),
              ElementsAre("look_closed<-hold", "disposition_corrected<-scrap"));
  const auto counts = must(records::look_counts(*folder.records, {}));
  EXPECT_EQ(counts.scrap, 1);
  EXPECT_EQ(counts.rework + counts.hold, 0);
}

TEST_F(StationTest, ADisputeHoldsTheBodyThatHadLeft) {
  give(Scan{code});
  answer_all();
  give(Close{Disposition::accept});
  EXPECT_THAT(on_disk("SELECT why FROM waiting"), IsEmpty());
  give(AnotherBody{code});
  give(Close{Disposition::hold});
  EXPECT_THAT(on_disk("SELECT why FROM waiting"),
              ElementsAre("two_with_one_serial", "two_with_one_serial"));
}

TEST_F(StationTest, AConcessionIsUsedUpOnDisk) {
  give(SignIn{"p-qe", Role::quality_engineer});
  const std::int64_t tomorrow_us = folder.clock.now.wall_us + 86'400'000'000;
  give(GrantConcession{{"C-1", "board", "CP-210", "seal", "missing", 1, tomorrow_us}, "p-qe"});
  give(Scan{code});
  answer_all();
  give(AddFinding{"seal", "missing"});
  give(Close{Disposition::accept, "C-1"});
  EXPECT_EQ(must(station->lookups().concessions()).at(0).used, 1);
  EXPECT_EQ(must(records::look_counts(*folder.records, {})).first_pass, 0);
}

TEST_F(StationTest, KnowsItsProofsAfterARestart) {
  Master with_parts = folder.records->master();
  with_parts.revision = 8;
  with_parts.challenge_parts = {{"99999-00001", "CP-210", {}}, {"99999-00002", "CP-210", {"lid"}}};
  give(AdoptMaster{with_parts, text::write_master(with_parts), "p-boss"});
  give(UseCamera{"usb-1"});
  give(Scan{"99999-00001"});
  OpinionArrived judged;
  judged.tag_serial = "99999-00001";
  judged.opinion.look = station->state().challenge.open->showing;
  judged.opinion.model = "m-1";
  for (const char* component : {"seal", "lid", "tag"}) {
    judged.opinion.components.emplace_back().component = component;
    judged.opinion.components.back().conforming = "yes";
  }
  give(judged);
  EXPECT_EQ(proof_state(station->state(), "CP-210", "m-1", folder.clock.now), ProofState::begun);
  give(Scan{"99999-00002"});
  const Inspection before = station->state();
  start_again();
  EXPECT_EQ(station->state(), before);
  EXPECT_EQ(stage_of(station->state()), Stage::challenge);
  folder.clock.pass(24 * 3600);
  give(LeavePart{"the next day"});
  start_again();
  EXPECT_EQ(station->state().challenge.camera, "usb-1");
  EXPECT_THAT(station->state().challenge.proofs, IsEmpty());
}

TEST_F(StationTest, KnowsItsModelAfterARestart) {
  give(SignIn{"p-qe", Role::quality_engineer});
  ModelApproved approval;
  approval.model = "m-1";
  approval.file = "aa";
  approval.gaps = {{"seal", 0.9, 0.1, false, false}};
  give(ApproveModel{approval, "p-qe"});
  approval.model = "m-2";
  approval.file = "bb";
  give(ApproveModel{approval, "p-qe"});
  start_again();
  ASSERT_TRUE(station->state().model);
  EXPECT_EQ(station->state().model->model, "m-2");
  EXPECT_EQ(station->state().model->before, "m-1");
  EXPECT_EQ(on_disk("SELECT actor FROM entry WHERE kind = 'model_approved'"),
            (std::vector<std::string>{"p-qe", "p-qe"}));
  give(GoBackToModel{"m-1", "stops good seals", "p-qe"});
  start_again();
  EXPECT_EQ(station->state().model->model, "m-1");
}

}  // namespace
}  // namespace lastlook::flows
