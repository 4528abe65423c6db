// SPDX-License-Identifier: Apache-2.0
// What the station wrote is what `lastlook teach` reads.
#include "kiosk/capture/teaching_shots.h"

#include <fstream>

#include "tests/kiosk/capture/small_product.h"
#include "vision/judge.h"
#include "vision/teach.h"

namespace lastlook::capture {
namespace {

namespace fs = std::filesystem;
using namespace domain;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using testing::picture_of;
using testing::Scene;
using ::testing::SizeIs;
using testing::small_master;

const TeachingMark knob{"knob", {90 / 640.0, 80 / 480.0, 100 / 640.0, 100 / 480.0}};
const TeachingMark cover{"cover", {290 / 640.0, 50 / 480.0, 160 / 640.0, 120 / 480.0}};

class TeachingShotsTest : public ::testing::Test {
 protected:
  TeachingShotsTest() {
    std::string made = (fs::temp_directory_path() / "teaching-XXXXXX").string();
    place_ = ::mkdtemp(made.data());
    folder = place_ / "teaching";
  }
  ~TeachingShotsTest() override { fs::remove_all(place_); }

  void good(int i, bool with_cover) {
    const Scene scene{.code = "SP1-000" + std::to_string(i + 2),
                      .cover = with_cover,
                      .light = 0.85 + 0.1 * i,
                      .shift = {i - 3, 2 * i - 5},
                      .noise = i + 2};
    ASSERT_TRUE(
        keep_shot(folder, shots, master, picture_of(scene), {"", with_cover ? "SP" : "SPN", {}}));
  }
  void begin() {
    ASSERT_TRUE(keep_reference(folder, shots, master, picture_of(Scene{})));
    ASSERT_TRUE(keep_labels(folder, shots, master, {knob, cover}, {}));
  }
  std::string text(const char* file) {
    std::ifstream in(folder / file);
    return {std::istreambuf_iterator<char>(in), {}};
  }

  fs::path place_, folder;
  Master master = small_master();
  TeachingShots shots;
};

TEST_F(TeachingShotsTest, AreReadByTheReaderOfTeachAndGiveAModel) {
  begin();
  for (int i = 0; i < 3; ++i) good(i, i != 1);
  const Scene empty{.code = "SP1-0009", .cover = false, .noise = 9};
  ASSERT_TRUE(
      keep_shot(folder, shots, master, picture_of(empty), {"", "SP", {{"cover", Seen::absent}}}));
  const auto read = vision::read_teaching_folder(folder);
  ASSERT_TRUE(read) << read.error().message;
  EXPECT_THAT(read->notes, IsEmpty());
  ASSERT_THAT(read->pictures, SizeIs(4));
  EXPECT_EQ(read->picture_px, cv::Size(640, 480));
  EXPECT_EQ(read->components[1].box_px, cv::Rect2d(290, 50, 160, 120));
  // The bare variant is right without its cover, the other is not.
  EXPECT_EQ(read->pictures[1].labels[1].state, vision::State::absent);
  EXPECT_TRUE(read->pictures[1].labels[1].ok);
  EXPECT_EQ(read->pictures[3].labels[1].state, vision::State::absent);
  EXPECT_FALSE(read->pictures[3].labels[1].ok);
  EXPECT_TRUE(read->pictures[3].labels[0].ok);
  const auto taught = vision::teach(*read);
  ASSERT_TRUE(taught) << taught.error().message;
  const auto judged =
      vision::judge(taught->model, picture_of({.code = "SP1-0007", .noise = 77}), "SP");
  ASSERT_TRUE(judged);
  EXPECT_EQ(judged->components[0].conforming, vision::Conforming::yes);
}

TEST_F(TeachingShotsTest, AreThereAgainAfterTheProgramWasEnded) {
  begin();
  good(0, true);
  good(1, false);
  ASSERT_TRUE(keep_shot(folder, shots, master, picture_of({.cover = false}),
                        {"", "SP", {{"cover", Seen::absent}, {"knob", Seen::wrong}}}));
  const auto again = read_shots(folder, master);
  ASSERT_TRUE(again) << again.error().message;
  EXPECT_TRUE(again->reference);
  EXPECT_EQ(again->picture_px, cv::Size(640, 480));
  EXPECT_EQ(again->marks, (std::vector<TeachingMark>{knob, cover}));
  ASSERT_EQ(again->shots.size(), 3U);
  EXPECT_THAT(again->shots[0].faults, IsEmpty());
  EXPECT_EQ(again->shots[1].variant, "SPN");
  EXPECT_THAT(again->shots[1].faults, IsEmpty());
  EXPECT_THAT(again->shots[2].faults,
              ElementsAre(KnownFault{"knob", Seen::wrong}, KnownFault{"cover", Seen::absent}));
}

TEST_F(TeachingShotsTest, NothingThereIsNothingTakenYet) {
  const auto none = read_shots(folder, master);
  ASSERT_TRUE(none);
  EXPECT_FALSE(none->reference);
  EXPECT_THAT(none->shots, IsEmpty());
}

// What the disk does not let be looked at is not "nothing taken yet".
TEST_F(TeachingShotsTest, OnlyWhatIsNotThereIsNothing) {
  begin();
  good(0, true);
  for (const char* file : {"components.json", "labels.csv", "reference.jpg", "shot-001.jpg"}) {
    fs::rename(folder / file, folder / "kept");
    fs::create_symlink(file, folder / file);  // leads to itself
    const auto read = read_shots(folder, master);
    ASSERT_FALSE(read) << file;
    EXPECT_THAT(read.error().message, HasSubstr(file));
    fs::remove(folder / file);
    fs::rename(folder / "kept", folder / file);
  }
  EXPECT_THAT(read_shots(folder, master)->shots, SizeIs(1));
  fs::remove(folder / "shot-001.jpg");
  EXPECT_THAT(read_shots(folder, master)->shots, IsEmpty());
}

// The least place that may be marked can be learned from, in the least picture that is taken.
TEST_F(TeachingShotsTest, WhatMayBeMarkedCanBeRead) {
  cv::Mat small;
  cv::resize(picture_of(Scene{}), small, {532, 399});
  const Status refused = keep_reference(folder, shots, master, small);
  ASSERT_FALSE(refused);
  EXPECT_THAT(refused.error().message, HasSubstr("at least 400 x 400 pixels, found 532 x 399"));
  cv::resize(small, small, {400, 400});
  ASSERT_TRUE(keep_reference(folder, shots, master, small));
  const TeachingMark least{"knob", {0.3, 0.3, least_mark, least_mark}};
  ASSERT_TRUE(is_place(least.box));
  ASSERT_TRUE(keep_labels(folder, shots, master, {least}, {}));
  ASSERT_TRUE(keep_shot(folder, shots, master, small, {"", "SP", {}}));
  const auto read = vision::read_teaching_folder(folder);
  EXPECT_TRUE(read) << read.error().message;
}

TEST_F(TeachingShotsTest, WhatCannotBeLookedAtIsNotSetAside) {
  fs::create_symlink("teaching", folder);
  EXPECT_FALSE(set_aside(folder));
}

// The disk takes one of the two files and refuses the other: no label names a place that is not
// marked, and what is told is what is there.
TEST_F(TeachingShotsTest, AnErrorBetweenTheTwoFilesLosesNothing) {
  const auto block = [&](const char* file) {
    fs::create_directory(folder / (file + ("." + std::to_string(::getpid())) + ".part"));
  };
  const auto unblock = [&](const char* file) {
    fs::remove(folder / (file + ("." + std::to_string(::getpid())) + ".part"));
  };
  begin();
  good(0, true);
  const TeachingShots before = shots;
  block("labels.csv");
  const TeachingMark tag{"tag", {0.5, 0.5, 0.1, 0.1}};
  EXPECT_FALSE(keep_labels(folder, shots, master, {knob, cover, tag}, shots.shots));
  unblock("labels.csv");
  EXPECT_EQ(shots, before);
  EXPECT_EQ(read_shots(folder, master)->shots, before.shots);
  EXPECT_TRUE(vision::read_teaching_folder(folder));
  block("components.json");
  EXPECT_FALSE(keep_labels(folder, shots, master, {knob}, {}));
  unblock("components.json");
  EXPECT_EQ(shots, before);
  const auto read = read_shots(folder, master);
  ASSERT_TRUE(read) << read.error().message;
  EXPECT_EQ(read->marks, (std::vector<TeachingMark>{knob, cover, tag}));
  EXPECT_THAT(read->shots, IsEmpty());
}

// Ended between the picture and its row: the picture is not taken, and its name is not used again.
TEST_F(TeachingShotsTest, APictureWithoutItsRowIsLeftAsItIs) {
  begin();
  good(0, true);
  std::ofstream(folder / "shot-002.jpg") << "half a picture";
  EXPECT_THAT(read_shots(folder, master)->shots, SizeIs(1));
  good(1, true);
  EXPECT_EQ(shots.shots.back().file, "shot-003.jpg");
  EXPECT_THAT(read_shots(folder, master)->shots, SizeIs(2));
}

// Ended after labels.csv and before components.json, and the other way round.
TEST_F(TeachingShotsTest, HalfAChangeCanBeReadByBothReaders) {
  begin();
  good(0, true);
  ASSERT_TRUE(keep_shot(folder, shots, master, picture_of({.cover = false}),
                        {"", "SP", {{"cover", Seen::absent}}}));
  const std::string components = text("components.json"), labels = text("labels.csv");
  ASSERT_TRUE(keep_labels(folder, shots, master, {knob}, {shots.shots[0]}));
  // A mark taken away: the labels went first.
  std::ofstream(folder / "components.json") << components;
  EXPECT_TRUE(vision::read_teaching_folder(folder));
  EXPECT_THAT(read_shots(folder, master)->shots, SizeIs(1));
  // Were it the other way round, a bad picture must not turn into a good one.
  ASSERT_TRUE(keep_labels(folder, shots, master, {knob}, shots.shots));
  std::ofstream(folder / "labels.csv") << labels;
  EXPECT_THAT(read_shots(folder, master)->shots, SizeIs(1));
}

// Another revision of the checklist: what a picture shows stays, what is a fault follows.
TEST_F(TeachingShotsTest, WhatIsAFaultFollowsTheChecklist) {
  begin();
  good(0, false);  // of SPN, which has no cover
  master.variants[1].checklist[1].expected = Expectation::present;
  const auto again = read_shots(folder, master);
  EXPECT_THAT(again->shots[0].faults, ElementsAre(KnownFault{"cover", Seen::absent}));
}

TEST_F(TeachingShotsTest, APictureOfAnotherSizeIsRefusedAndNothingIsLost) {
  begin();
  good(0, true);
  cv::Mat small;
  cv::resize(picture_of(Scene{}), small, {320, 240});
  EXPECT_EQ(keep_shot(folder, shots, master, small, {"", "SP", {}}).error().category,
            Category::bad_input);
  EXPECT_EQ(keep_reference(folder, shots, master, small).error().category, Category::bad_input);
  EXPECT_THAT(read_shots(folder, master)->shots, SizeIs(1));
  EXPECT_EQ(shots.shots.size(), 1U);
}

TEST_F(TeachingShotsTest, ADiskThatDoesNotTakeItChangesNothing) {
  begin();
  good(0, true);
  fs::remove_all(folder);
  std::ofstream(folder) << "a file where the folder was";
  const auto kept = keep_shot(folder, shots, master, picture_of(Scene{}), {"", "SP", {}});
  EXPECT_FALSE(kept);
  EXPECT_EQ(shots.shots.size(), 1U);
}

TEST_F(TeachingShotsTest, AreSetAsideWhole) {
  begin();
  good(0, true);
  ASSERT_TRUE(set_aside(folder));
  EXPECT_FALSE(read_shots(folder, master)->reference);
  EXPECT_THAT(read_shots(folder.string() + "-1", master)->shots, SizeIs(1));
  begin();
  ASSERT_TRUE(set_aside(folder));
  EXPECT_TRUE(fs::exists(folder.string() + "-2"));
}

TEST_F(TeachingShotsTest, AFileOfAnotherFormIsNamed) {
  begin();
  good(0, true);
  std::ofstream(folder / "labels.csv") << "file,variant,component,state,ok\nx.jpg,SP,knob,blue,1\n";
  const auto read = read_shots(folder, master);
  ASSERT_FALSE(read);
  EXPECT_THAT(read.error().message, HasSubstr("labels.csv: line 2, column 4 (state)"));
}

}  // namespace
}  // namespace lastlook::capture
