// SPDX-License-Identifier: Apache-2.0
#include "kiosk/flows/teaching.h"

#include "tests/kiosk/domain/plant.h"

namespace lastlook::flows {
namespace {

using namespace domain;
using ::testing::ElementsAre;
using ::testing::IsEmpty;
using ::testing::SizeIs;
using Step = Teaching::Step;

// Somebody at the station, and a folder that takes everything it is given.
struct Lesson {
  Inspection state;
  Teaching now;
  FolderIs folder;
  std::string said;
  std::optional<TeachWork> last;

  Lesson() {
    state.master = domain::testing::small_plant();
    state.person = "p-qe";
    state.role = Role::quality_engineer;
  }

  void only(const TeachEvent& event) {
    TeachOutcome out = teach(now, event, state);
    now = out.teaching;
    said = out.notice ? out.notice->code : "";
    last = std::move(out.work);
  }
  // And the disk answers.
  void give(const TeachEvent& event) {
    only(event);
    if (!last) return;
    folder.taken = false;
    if (const auto* shot = std::get_if<KeepShot>(&*last)) {
      folder.shots.push_back(shot->shot);
      folder.shots.back().file = "shot-" + std::to_string(folder.shots.size());
      folder.taken = true;
    } else if (std::holds_alternative<KeepReference>(*last)) {
      folder.reference = folder.taken = true;
    } else if (const auto* labels = std::get_if<KeepLabels>(&*last)) {
      folder.marks = labels->marks;
      folder.shots = labels->shots;
    } else if (std::holds_alternative<SetFolderAside>(*last)) {
      folder = {};
    } else if (!std::holds_alternative<ReadFolder>(*last)) {
      return;
    }
    const auto work = last;
    only(folder);
    last = work;
  }

  void mark(const char* component, Box box = {0.1, 0.1, 0.2, 0.2}) {
    give(PutMark{{component, box}});
  }
  void good(int n) {
    for (int i = 0; i < n; ++i) give(TakeShot{});
  }
  void bad(const char* component, Seen seen) {
    give(SetFault{{component, seen}});
    give(TakeShot{});
  }
};

Lesson at_shooting(const char* variant = "CP-210") {
  Lesson lesson;
  lesson.give(OpenTeaching{});
  lesson.give(ChooseVariant{variant});
  lesson.give(TakeReference{});
  lesson.mark("seal");
  lesson.mark("lid", {0.4, 0.4, 0.2, 0.2});
  lesson.give(GoToStep{Step::shoot});
  return lesson;
}

ContactSheet sheet_of(double worst_good, double best_bad) {
  ContactSheet sheet;
  sheet.model = "m-2";
  sheet.variants = {"CP-210"};
  sheet.pictures = 5;
  sheet.components = {{{"seal", 0.9, 0.1, false, false}, {}, {}},
                      {{"lid", worst_good, best_bad, false, false}, {}, {}}};
  return sheet;
}

Lesson with_sheet(double worst_good = 0.8, double best_bad = 0.2) {
  Lesson lesson = at_shooting();
  lesson.good(3);
  lesson.only(Learn{});
  lesson.only(Learned{lesson.now.lesson, sheet_of(worst_good, best_bad)});
  return lesson;
}

TEST(Teaching, GoesFromTheVariantToTheSheet) {
  Lesson lesson;
  lesson.give(OpenTeaching{});
  EXPECT_TRUE(lesson.now.open);
  lesson.give(ChooseVariant{"CP-210"});
  EXPECT_EQ(lesson.now.step, Step::reference);
  lesson.give(TakeReference{});
  EXPECT_EQ(lesson.now.step, Step::mark);
  lesson.mark("seal");
  lesson.give(GoToStep{Step::shoot});
  lesson.good(3);
  EXPECT_THAT(lesson.now.shots, SizeIs(3));
  EXPECT_EQ(lesson.now.shots[0].variant, "CP-210");
  lesson.only(Learn{});
  EXPECT_EQ(lesson.now.step, Step::learn);
  lesson.only(LearnedSome{lesson.now.lesson, 2, 5});
  EXPECT_EQ(lesson.now.done, 2);
  lesson.only(Learned{lesson.now.lesson, sheet_of(0.8, 0.2)});
  EXPECT_EQ(lesson.now.step, Step::sheet);
  lesson.only(Approve{});
  ASSERT_TRUE(lesson.last);
  const auto& approval = std::get<KeepModel>(*lesson.last).approval;
  EXPECT_EQ(approval.model, "m-2");
  EXPECT_EQ(approval.product, "coolant pump");
  EXPECT_EQ(approval.pictures, 5);
  EXPECT_THAT(approval.gaps, SizeIs(2));
  lesson.only(ModelInUse{});
  EXPECT_EQ(lesson.now.step, Step::home);
}

// The one who goes on has seen nothing of it yet.
TEST(Teaching, AnOverlapIsAcceptedByTheOneWhoApproves) {
  Lesson lesson = with_sheet(0.4, 0.6);
  lesson.only(AcceptOverlap{"lid", true});
  EXPECT_TRUE(lesson.now.sheet->components[1].gap.overlap_accepted);
  lesson.state.person = "p-other";
  lesson.only(Approve{});
  EXPECT_EQ(lesson.said, "overlap_undecided");
  EXPECT_FALSE(lesson.last);
  lesson.only(AcceptOverlap{"lid", true});
  lesson.only(Approve{});
  ASSERT_TRUE(lesson.last);
  const auto& kept = std::get<KeepModel>(*lesson.last);
  EXPECT_TRUE(kept.approval.gaps[1].overlap_accepted);
  EXPECT_EQ(kept.by, "p-other");
}

TEST(Teaching, GoesBackFromItsFirstPageAlsoWithoutTheFolder) {
  Lesson lesson = with_sheet();
  lesson.only(GoBack{"m-1", "stops_good_units"});
  EXPECT_FALSE(lesson.last) << "the sheet is open";
  lesson.only(OpenTeaching{});
  lesson.only(WorkFailed{"labels.csv: line 2", true});
  lesson.only(GoBack{"m-1", "stops_good_units"});
  ASSERT_TRUE(lesson.last);
  const auto& find = std::get<FindModel>(*lesson.last);
  EXPECT_EQ(find.model, "m-1");
  EXPECT_EQ(find.why, "stops_good_units");
  EXPECT_EQ(find.by, "p-qe");
  EXPECT_TRUE(lesson.now.busy);
}

TEST(Teaching, IsForTheQualityEngineerAlone) {
  const std::vector<TeachEvent> touches{OpenTeaching{},
                                        ChooseVariant{"CP-210"},
                                        TakeReference{},
                                        PutMark{{"tag", {0.1, 0.1, 0.2, 0.2}}},
                                        RemoveMark{"seal"},
                                        TakeShot{},
                                        TakeBackShot{"shot-1"},
                                        Learn{},
                                        Approve{},
                                        GoBack{"m-1", "stops_good_units"},
                                        StartAfresh{}};
  for (const Role role : {Role::inspector, Role::supervisor, Role::administrator})
    for (const Step step : {Step::home, Step::reference, Step::mark, Step::shoot, Step::sheet})
      for (const TeachEvent& touch : touches) {
        Lesson lesson = with_sheet();
        lesson.now.step = step;
        lesson.state.role = role;
        const Teaching before = lesson.now;
        lesson.only(touch);
        EXPECT_EQ(lesson.said, "needs_quality_engineer");
        EXPECT_FALSE(lesson.last) << "nothing reaches the disk";
        EXPECT_EQ(lesson.now, before);
      }
}

TEST(Teaching, WaitsWhileAUnitIsOpen) {
  Lesson lesson = at_shooting();
  lesson.state.open.emplace();
  lesson.only(TakeShot{});
  EXPECT_EQ(lesson.said, "close_or_park_first");
  EXPECT_FALSE(lesson.last);
}

TEST(Teaching, GoesOnWhereTheFolderIs) {
  Lesson first = at_shooting();
  first.good(2);
  Lesson second;
  second.folder = first.folder;
  second.give(OpenTeaching{});
  EXPECT_THAT(second.now.shots, SizeIs(2));
  second.give(ChooseVariant{"CP-210"});
  EXPECT_EQ(second.now.step, Step::shoot);
}

// Whatever is photographed or marked next would be written over what could not be read.
TEST(Teaching, AnUnreadFolderIsOnlyReadAgainOrSetAside) {
  const std::vector<TeachEvent> writing{ChooseVariant{"CP-210"},
                                        GoToStep{Step::shoot},
                                        TakeReference{},
                                        PutMark{{"tag", {}}},
                                        RemoveMark{"seal"},
                                        SetFault{{"seal", Seen::wrong}},
                                        TakeShot{},
                                        TakeBackShot{"shot-1"},
                                        Learn{},
                                        NoFaults{},
                                        AcceptOverlap{"seal", true},
                                        Approve{}};
  for (const TeachEvent& touch : writing) {
    Lesson lesson = with_sheet();
    lesson.only(OpenTeaching{});
    lesson.only(WorkFailed{"labels.csv: line 2", true});
    EXPECT_EQ(lesson.now.step, Step::home);
    const Teaching before = lesson.now;
    lesson.only(touch);
    EXPECT_EQ(lesson.said, "teaching_unread");
    EXPECT_FALSE(lesson.last);
    EXPECT_EQ(lesson.now, before);
  }
  Lesson again = with_sheet();
  again.only(OpenTeaching{});
  again.only(WorkFailed{"labels.csv: line 2", true});
  again.give(OpenTeaching{});
  EXPECT_FALSE(again.now.unread) << "somebody has mended it";
  EXPECT_THAT(again.now.shots, SizeIs(3));
  again.only(WorkFailed{"labels.csv: line 2", true});
  again.give(StartAfresh{});
  EXPECT_FALSE(again.now.unread);
  EXPECT_THAT(again.now.shots, IsEmpty());
}

TEST(Teaching, OneThingAtATimeIsOnItsWayToTheDisk) {
  Lesson lesson = at_shooting();
  lesson.only(TakeShot{});
  ASSERT_TRUE(lesson.last);
  lesson.only(TakeShot{});
  EXPECT_FALSE(lesson.last) << "touched twice";
  lesson.only(WorkFailed{"the disk is full"});
  EXPECT_EQ(lesson.now.trouble, "the disk is full");
  lesson.only(TakeShot{});
  EXPECT_TRUE(lesson.last);
  EXPECT_EQ(lesson.now.trouble, "");
}

TEST(Teaching, AFaultIsWhatTheVariantDoesNotExpect) {
  Lesson lesson = at_shooting("CP-210N");  // without a lid
  lesson.only(SetFault{{"lid", Seen::absent}});
  EXPECT_EQ(lesson.said, "no_fault_there");
  EXPECT_THAT(lesson.now.faults, IsEmpty());
  lesson.only(SetFault{{"lid", Seen::present}});
  EXPECT_THAT(lesson.now.faults, SizeIs(1));
  lesson.only(ChooseVariant{"CP-210"});
  EXPECT_THAT(lesson.now.faults, IsEmpty()) << "of the other variant it would be none";
  lesson.only(SetFault{{"lid", Seen::present}});
  EXPECT_EQ(lesson.said, "no_fault_there");
  lesson.only(SetFault{{"lid", Seen::misplaced}});
  lesson.only(SetFault{{"lid", Seen::absent}});
  EXPECT_THAT(lesson.now.faults, ElementsAre(KnownFault{"lid", Seen::absent})) << "the newest";
}

TEST(Teaching, TheNextUnitIsGoodAgain) {
  Lesson lesson = at_shooting();
  lesson.bad("seal", Seen::wrong);
  EXPECT_THAT(lesson.now.shots.back().faults, ElementsAre(KnownFault{"seal", Seen::wrong}));
  lesson.good(1);
  EXPECT_THAT(lesson.now.shots.back().faults, IsEmpty());
}

TEST(Teaching, APictureThatWasNotKeptIsStillOfTheSameFault) {
  Lesson lesson = at_shooting();
  lesson.give(SetFault{{"seal", Seen::wrong}});
  lesson.only(TakeShot{});
  EXPECT_THAT(lesson.now.faults, IsEmpty());
  lesson.only(WorkFailed{"the disk is full"});
  EXPECT_THAT(lesson.now.faults, ElementsAre(KnownFault{"seal", Seen::wrong}));
  lesson.give(TakeShot{});
  EXPECT_THAT(lesson.now.shots.back().faults, SizeIs(1));
  // What is said of the next unit while the disk still writes is of the next unit.
  lesson.only(TakeShot{});
  lesson.only(SetFault{{"lid", Seen::absent}});
  lesson.only(FolderIs{true, lesson.now.marks, lesson.now.shots, true});
  EXPECT_THAT(lesson.now.faults, ElementsAre(KnownFault{"lid", Seen::absent}));
}

TEST(Teaching, AMarkGoesWithThePicturesOfItsFaults) {
  Lesson lesson = at_shooting();
  lesson.good(1);
  lesson.bad("lid", Seen::wrong);
  lesson.bad("seal", Seen::wrong);
  lesson.give(GoToStep{Step::mark});
  lesson.give(RemoveMark{"lid"});
  EXPECT_THAT(lesson.now.shots, SizeIs(2));
  lesson.give(RemoveMark{"seal"});
  EXPECT_EQ(lesson.said, "last_mark") << "good pictures of nothing would be lost";
  EXPECT_THAT(lesson.now.marks, SizeIs(1));
}

TEST(Teaching, APlaceMustBeWithinThePictureAndLargeEnough) {
  Lesson lesson = at_shooting();
  lesson.give(GoToStep{Step::mark});
  for (const Box& box : {Box{0.95, 0.1, 0.2, 0.2}, Box{0.1, 0.1, 0.001, 0.2}, Box{-0.1, 0, 1, 1}})
    lesson.mark("tag", box);
  EXPECT_THAT(lesson.now.marks, SizeIs(2));
}

TEST(Teaching, LearnsOnlyFromEnoughGoodOnesOfEachVariant) {
  Lesson lesson = at_shooting();
  lesson.good(2);
  lesson.only(Learn{});
  EXPECT_EQ(lesson.said, "not_enough_pictures");
  EXPECT_EQ(lesson.now.step, Step::shoot);
  lesson.good(1);
  lesson.give(ChooseVariant{"CP-210N"});
  EXPECT_TRUE(can_learn(lesson.now)) << "of the other one there is no picture yet";
  lesson.good(1);
  EXPECT_FALSE(can_learn(lesson.now));
  lesson.good(2);
  EXPECT_TRUE(can_learn(lesson.now));
}

TEST(Teaching, CanBeStoppedAndALateResultIsDropped) {
  Lesson lesson = at_shooting();
  lesson.good(3);
  lesson.only(Learn{});
  const std::int64_t number = lesson.now.lesson;
  lesson.only(StopLearning{});
  EXPECT_TRUE(std::holds_alternative<ForgetLesson>(*lesson.last));
  EXPECT_EQ(lesson.now.step, Step::shoot);
  lesson.only(Learned{number, sheet_of(0.8, 0.2)});
  EXPECT_FALSE(lesson.now.sheet);
  EXPECT_EQ(lesson.now.step, Step::shoot);
  lesson.only(Learn{});
  lesson.only(LearnedSome{number, 4, 5});
  EXPECT_EQ(lesson.now.done, 0);
  lesson.only(NotLearned{lesson.now.lesson, "component lid: its place is flat"});
  EXPECT_EQ(lesson.now.trouble, "component lid: its place is flat");
  EXPECT_THAT(lesson.now.shots, SizeIs(3));
}

TEST(Teaching, OverlappingScoresNeedADecision) {
  Lesson lesson = with_sheet(0.4, 0.6);
  lesson.only(Approve{});
  EXPECT_EQ(lesson.said, "overlap_undecided");
  EXPECT_FALSE(lesson.last);
  lesson.only(AcceptOverlap{"lid", true});
  lesson.only(AcceptOverlap{"seal", true});
  EXPECT_FALSE(lesson.now.sheet->components[0].gap.overlap_accepted)
      << "there is nothing to accept";
  lesson.only(Approve{});
  ASSERT_TRUE(lesson.last);
  EXPECT_TRUE(std::get<KeepModel>(*lesson.last).approval.gaps[1].overlap_accepted);
}

TEST(Teaching, AnApprovalThatFailedKeepsTheSheetAndThePictures) {
  Lesson lesson = with_sheet();
  const Teaching before = lesson.now;
  lesson.only(Approve{});
  lesson.only(WorkFailed{"the disk is full"});
  EXPECT_EQ(lesson.now.sheet, before.sheet);
  EXPECT_EQ(lesson.now.shots, before.shots);
  EXPECT_EQ(lesson.now.step, Step::sheet);
  lesson.only(Approve{});
  EXPECT_TRUE(lesson.last) << "and may be tried again";
}

TEST(Teaching, AnotherPictureMakesTheSheetOutOfDate) {
  Lesson lesson = with_sheet();
  lesson.give(GoToStep{Step::shoot});
  lesson.give(GoToStep{Step::sheet});
  EXPECT_EQ(lesson.now.step, Step::sheet);
  lesson.give(GoToStep{Step::shoot});
  lesson.good(1);
  EXPECT_FALSE(lesson.now.sheet);
}

// The sheet shows one that was called good and is not: without it, it is learned again.
TEST(Teaching, APictureOnTheSheetCanBeTakenBack) {
  Lesson lesson = with_sheet();
  lesson.give(TakeBackShot{"shot-2"});
  EXPECT_THAT(lesson.now.shots, SizeIs(2));
  EXPECT_FALSE(lesson.now.sheet);
  EXPECT_EQ(lesson.now.step, Step::shoot);
}

TEST(Teaching, TheModelInUseIsNotApprovedAgain) {
  Lesson lesson = with_sheet();
  lesson.state.model.emplace();
  lesson.state.model->model = "m-2";
  lesson.only(Approve{});
  EXPECT_EQ(lesson.said, "model_in_use");
}

TEST(Teaching, LeavingStopsTheLearning) {
  Lesson lesson = at_shooting();
  lesson.good(3);
  lesson.only(Learn{});
  lesson.state.person.clear();
  lesson.only(LeaveTeaching{});
  EXPECT_FALSE(lesson.now.open);
  EXPECT_TRUE(std::holds_alternative<ForgetLesson>(*lesson.last));
}

}  // namespace
}  // namespace lastlook::flows
