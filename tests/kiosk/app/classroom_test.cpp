// SPDX-License-Identifier: Apache-2.0
// Teaching over a real station, folder and vision; only the camera's pictures are drawn.
#include "kiosk/app/classroom.h"

#include <unistd.h>

#include <atomic>
#include <fstream>
#include <functional>
#include <future>
#include <map>

#include "kiosk/app/eye.h"
#include "kiosk/records/audit.h"
#include "kiosk/records/model_queries.h"
#include "kiosk/text/master_json.h"
#include "tests/kiosk/capture/small_product.h"
#include "tests/kiosk/records/station.h"
#include "tests/places.h"
#include "vision/judge.h"
#include "vision/model_file.h"

namespace lastlook::app {
namespace {

namespace fs = std::filesystem;
using namespace screens;
using capture::testing::picture_of;
using capture::testing::Scene;
using flows::Teaching;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::SizeIs;
using Step = Teaching::Step;

class ForwardClock final : public domain::Clock {
 public:
  domain::Reading read() override {
    now_us_ += 1'000'000;
    return {now_us_, now_us_, "boot", 0};
  }
  std::int64_t now_us_ = 1'795'593'600'000'000;
};

class ClassroomTest : public testing::Test {
 protected:
  void SetUp() override {
    std::string made = (fs::temp_directory_path() / "lastlook-teach-XXXXXX").string();
    place_ = ::mkdtemp(made.data());
    folder_ = place_ / "LL-1";
    records_ = records::Records::create(folder_, "LL-1", clock_).value();
    domain::Master master = capture::testing::small_master();
    master.variants[1].tag_type = "SP2";
    master.defects = {
        {domain::something_else, "Something else", domain::Severity::major, {}, {}, {}}};
    master.shifts = {{"early", "Early shift", 360}, {"late", "Late shift", 840}};
    master.day_starts_with = "early";
    master.lock_after_min = lock_after_min_;
    const domain::Happening adopted = domain::MasterAdopted{1, text::write_master(master), "p-q"};
    const Status kept = records_->append({&adopted, 1}, "station", clock_.read());
    ASSERT_TRUE(kept) << kept.error().message;
    people_ = records::People::open(folder_).value();
    languages_ = text::Languages::load(source_dir() + "/assets/strings", "en").value();
    pictures_.emplace(folder_ / "pictures");
    open();
    sign_in(domain::Role::quality_engineer);
  }
  void TearDown() override {
    close();
    records_.reset();
    fs::remove_all(place_);
  }

  void open() {
    station_ = flows::Station::open(*records_, clock_).value();
    desk_ = std::make_unique<Desk>(
        Desk::Parts{*station_, *people_, clock_, languages_, main_, desk_tasks_, false});
    classroom_ = std::make_unique<Classroom>(
        Classroom::Parts{*desk_, *station_, main_, *pictures_, folder_ / "teaching",
                         [this] { return frame_; }, [this] { return model_file_; }, nullptr});
  }
  void close() {
    classroom_.reset();
    desk_.reset();
    station_.reset();
  }
  void sign_in(domain::Role role) {
    desk_->handle(flows::Event(flows::SignIn{"p-" + std::string(to_word(role)), role}));
    classroom_->follow(desk_->facts());
  }

  const Teaching& now() const { return desk_->facts().teaching->at; }
  void give(const flows::TeachEvent& event) {
    desk_->handle(event);
    classroom_->touch(event);
    settle();
  }
  // Until the thread has answered.
  void settle() {
    while (now().busy || now().step == Step::learn) {
      main_.run();
      std::this_thread::yield();
    }
  }
  void see(const Scene& scene) {
    frame_ = std::make_shared<capture::Frame>(
        capture::Frame{++frames_, clock_.now_us_, picture_of(scene), ""});
  }
  void shoot(const Scene& scene) {
    see(scene);
    give(flows::TakeShot{});
  }
  void begin() {
    give(flows::OpenTeaching{});
    give(flows::ChooseVariant{"SP"});
    see({});
    give(flows::TakeReference{});
    give(flows::PutMark{{"knob", {90 / 640.0, 80 / 480.0, 100 / 640.0, 100 / 480.0}}});
    give(flows::PutMark{{"cover", {290 / 640.0, 50 / 480.0, 160 / 640.0, 120 / 480.0}}});
    give(flows::GoToStep{Step::shoot});
  }
  void photograph(int seed = 0) {
    for (int i = 0; i < 3; ++i)
      shoot({.light = 0.85 + 0.1 * i, .shift = {i - 2, 2 * i - 3}, .noise = seed + i + 2});
    give(flows::SetFault{{"cover", domain::Seen::absent}});
    shoot({.cover = false, .noise = seed + 9});
  }
  void learn() {
    give(flows::Learn{});
    ASSERT_EQ(now().step, Step::sheet) << now().trouble;
    // Three pictures may leave scores that overlap; what a person then decides is told elsewhere.
    for (const auto& one : now().sheet->components)
      if (one.gap.best_bad >= one.gap.worst_good)
        give(flows::AcceptOverlap{one.gap.component, true});
  }
  std::string taught_and_approved(int seed = 0) {
    if (now().step != Step::shoot) begin();
    photograph(seed);
    learn();
    const std::string model = now().sheet->model;
    give(flows::Approve{});
    return model;
  }
  void judges(const std::string& model) {
    screens::CameraFacts camera;
    camera.model = model;
    desk_->show_camera(camera);
  }
  // Nothing of this name can be written to the teaching folder.
  fs::path in_the_way(const char* name) const {
    return folder_ / "teaching" / (name + ("." + std::to_string(::getpid())) + ".part");
  }
  void block(const char* name) const { fs::create_directory(in_the_way(name)); }
  void unblock(const char* name) const { fs::remove(in_the_way(name)); }
  std::size_t files_in_pictures() const {
    std::size_t n = 0;
    if (fs::exists(folder_ / "pictures"))
      for (const auto& entry : fs::recursive_directory_iterator(folder_ / "pictures"))
        n += entry.is_regular_file() ? 1 : 0;
    return n;
  }

  int lock_after_min_ = 0;
  fs::path place_, folder_, model_file_;
  ForwardClock clock_;
  std::unique_ptr<records::Records> records_;
  std::unique_ptr<records::People> people_;
  std::unique_ptr<flows::Station> station_;
  std::optional<records::Pictures> pictures_;
  text::Languages languages_;
  std::function<void()> woken_ = [] {};  // on the thread that posts
  MainQueue main_{[this] { woken_(); }};
  TaskThread desk_tasks_;
  std::unique_ptr<Desk> desk_;
  std::unique_ptr<Classroom> classroom_;
  capture::FramePtr frame_;
  std::int64_t frames_ = 0;
};

TEST_F(ClassroomTest, WhatIsApprovedLiesWithThePicturesAndJudges) {
  const std::string model = taught_and_approved();
  ASSERT_TRUE(station_->state().model);
  EXPECT_EQ(station_->state().model->model, model);
  const auto approved = records::approved_models(*records_).value();
  ASSERT_THAT(approved, SizeIs(1));
  EXPECT_EQ(approved[0].approved_by, "p-quality_engineer");
  EXPECT_EQ(approved[0].pictures, 4);
  EXPECT_EQ(approved[0].variants, std::vector<std::string>{"SP"});
  const auto loaded = vision::load_model(pictures_->path_of(approved[0].file));
  ASSERT_TRUE(loaded) << loaded.error().message;
  EXPECT_EQ(loaded->id, model);
  const auto judged = vision::judge(*loaded, picture_of({.light = 0.95, .noise = 50}), "SP");
  ASSERT_TRUE(judged);
  EXPECT_EQ(judged->components[0].conforming, vision::Conforming::yes);
  EXPECT_EQ(now().step, Step::home);
  EXPECT_THAT(desk_->facts().notices, testing::ElementsAre(HasSubstr(model)));
  EXPECT_TRUE(records::verify(folder_)->whole());
}

TEST_F(ClassroomTest, TheSheetShowsEachPictureOfIt) {
  begin();
  photograph();
  learn();
  const flows::SheetComponent& cover = now().sheet->components[1];
  EXPECT_EQ(cover.gap.component, "cover");
  EXPECT_FALSE(cover.gap.made_up);
  ASSERT_THAT(cover.good, SizeIs(3));
  EXPECT_LE(cover.good[0].score, cover.good[1].score) << "the worst first";
  EXPECT_DOUBLE_EQ(cover.good[0].score, cover.gap.worst_good);
  ASSERT_THAT(cover.bad, SizeIs(1));
  EXPECT_DOUBLE_EQ(cover.bad[0].score, cover.gap.best_bad);
  EXPECT_EQ(cover.bad[0].file, "shot-004.jpg");
  EXPECT_TRUE(now().sheet->components[0].gap.made_up);
  // The cover is yellow, its empty place is not: the thumb shows the one, the other the other.
  const auto yellow = [&](const std::string& file) {
    for (const Thumb& thumb : desk_->facts().teaching->thumbs)
      if (thumb.component == "cover" && thumb.file == file) {
        const cv::Mat& plate = classroom_->plates().sheet;
        const cv::Rect part(cvRound(thumb.part.x * static_cast<float>(plate.cols)),
                            cvRound(thumb.part.y * static_cast<float>(plate.rows)),
                            cvRound(thumb.part.w * static_cast<float>(plate.cols)),
                            cvRound(thumb.part.h * static_cast<float>(plate.rows)));
        const cv::Scalar mean = cv::mean(plate(part));
        return mean[2] - mean[0];
      }
    ADD_FAILURE() << "no thumb of " << file;
    return 0.0;
  };
  EXPECT_GT(yellow("shot-001.jpg"), yellow("shot-004.jpg") + 20);
}

TEST_F(ClassroomTest, NobodyElseReachesTheDisk) {
  for (const auto role : {domain::Role::inspector, domain::Role::supervisor}) {
    sign_in(role);
    see({});
    for (const flows::TeachEvent& event : std::vector<flows::TeachEvent>{
             flows::OpenTeaching{}, flows::ChooseVariant{"SP"}, flows::TakeReference{},
             flows::TakeShot{}, flows::Learn{}, flows::Approve{}, flows::StartAfresh{}})
      give(event);
    EXPECT_FALSE(now().open);
    EXPECT_FALSE(fs::exists(folder_ / "teaching"));
  }
}

// Somebody else signs in while the sheet is shown, and approves nothing.
TEST_F(ClassroomTest, AnApprovalByAnotherRoleWritesNothing) {
  begin();
  photograph();
  learn();
  sign_in(domain::Role::inspector);
  const std::size_t before = files_in_pictures();
  give(flows::Approve{});
  EXPECT_EQ(files_in_pictures(), before);
  EXPECT_FALSE(station_->state().model);
  EXPECT_THAT(records::approved_models(*records_).value(), IsEmpty());
  // The quality engineer comes back: the pictures are there.
  sign_in(domain::Role::quality_engineer);
  give(flows::OpenTeaching{});
  EXPECT_THAT(now().shots, SizeIs(4));
}

// Signed out between the touch and the entry: the file is there, but nothing uses it.
TEST_F(ClassroomTest, AnApprovalIsAskedForAgainWhenItsFileIsThere) {
  begin();
  photograph();
  learn();
  classroom_->touch(flows::Approve{});
  desk_->handle(flows::Event(flows::SignIn{"p-ina", domain::Role::inspector}));
  settle();
  EXPECT_FALSE(station_->state().model);
  EXPECT_THAT(records::approved_models(*records_).value(), IsEmpty());
}

TEST_F(ClassroomTest, GoesOnAfterTheProgramWasEnded) {
  begin();
  photograph();
  close();
  open();
  give(flows::OpenTeaching{});
  EXPECT_THAT(now().shots, SizeIs(4));
  EXPECT_THAT(now().marks, SizeIs(2));
  give(flows::ChooseVariant{"SP"});
  EXPECT_EQ(now().step, Step::shoot);
  learn();
  give(flows::Approve{});
  EXPECT_TRUE(station_->state().model);
}

TEST_F(ClassroomTest, AnApprovalThatTheDiskRefusesKeepsTheSheet) {
  begin();
  photograph();
  learn();
  std::ofstream(folder_ / "pictures") << "a file where the folder should be";
  give(flows::Approve{});
  EXPECT_FALSE(station_->state().model);
  EXPECT_EQ(now().step, Step::sheet);
  EXPECT_TRUE(now().sheet);
  EXPECT_THAT(now().trouble, HasSubstr("pictures"));
  EXPECT_THAT(desk_->facts().notices, testing::ElementsAre(HasSubstr("Nothing taken so far")));
  fs::remove(folder_ / "pictures");
  give(flows::Approve{});
  EXPECT_TRUE(station_->state().model);
}

TEST_F(ClassroomTest, CanGoBackToTheModelBefore) {
  const std::string first = taught_and_approved();
  give(flows::OpenTeaching{});
  give(flows::ChooseVariant{"SP"});
  const std::string second = taught_and_approved(20);
  EXPECT_NE(first, second);
  EXPECT_EQ(station_->state().model->before, first);
  sign_in(domain::Role::inspector);
  give(flows::GoBack{first, "stops_good_units"});
  EXPECT_EQ(station_->state().model->model, second) << "not the inspector's to say";
  sign_in(domain::Role::quality_engineer);
  give(flows::OpenTeaching{});
  give(flows::GoBack{first, "stops_good_units"});
  EXPECT_EQ(station_->state().model->model, first);
  EXPECT_EQ(desk_->facts().teaching->models.front().model, first);
  EXPECT_EQ(desk_->facts().teaching->models.front().why, "stops_good_units");
}

// The one that the station was set up with can be gone back to as well.
TEST_F(ClassroomTest, KeepsTheModelThatJudgedWithoutAnApproval) {
  const vision::Model old = capture::testing::taught_small_product();
  model_file_ = place_ / "old.model";
  ASSERT_TRUE(vision::save_model(old, model_file_));
  judges(old.id);
  taught_and_approved();
  EXPECT_EQ(station_->state().model->before, old.id);
  fs::remove(model_file_);
  give(flows::OpenTeaching{});
  give(flows::GoBack{old.id, "misses_bad_units"});
  ASSERT_EQ(station_->state().model->model, old.id);
  const auto loaded = vision::load_model(pictures_->path_of(station_->state().model->file));
  ASSERT_TRUE(loaded);
  EXPECT_EQ(loaded->id, old.id);
}

// What was replaced since it was loaded is not what judged.
TEST_F(ClassroomTest, TheModelBeforeIsTheOneThatJudges) {
  vision::Model other = capture::testing::taught_small_product();
  model_file_ = place_ / "other.model";
  ASSERT_TRUE(vision::save_model(other, model_file_));
  judges("0123456789abcdef");
  taught_and_approved();
  EXPECT_FALSE(station_->state().model);
  EXPECT_THAT(now().trouble, testing::AllOf(HasSubstr(other.id), HasSubstr("0123456789abcdef")));
  judges("");  // none does: the file is of no concern
  give(flows::Approve{});
  ASSERT_TRUE(station_->state().model);
  EXPECT_EQ(station_->state().model->before, "");
}

// Else the journal would say that it judges, and the camera would give no opinion.
TEST_F(ClassroomTest, GoesBackOnlyToAModelWhoseFileIsWhole) {
  const std::string first = taught_and_approved();
  const fs::path file = pictures_->path_of(station_->state().model->file);
  give(flows::OpenTeaching{});
  give(flows::ChooseVariant{"SP"});
  const std::string second = taught_and_approved(20);
  give(flows::OpenTeaching{});
  fs::rename(file, place_ / "kept");
  give(flows::GoBack{first, "stops_good_units"});
  EXPECT_EQ(station_->state().model->model, second);
  EXPECT_THAT(records::approved_models(*records_).value(), SizeIs(2));
  EXPECT_THAT(desk_->facts().notices, testing::ElementsAre(HasSubstr(file.string())));
  fs::copy(place_ / "kept", file);
  std::ofstream(file, std::ios::app) << "x";
  give(flows::GoBack{first, "stops_good_units"});
  EXPECT_EQ(station_->state().model->model, second);
  fs::remove(file);
  fs::rename(place_ / "kept", file);
  give(flows::GoBack{first, "stops_good_units"});
  EXPECT_EQ(station_->state().model->model, first);
  EXPECT_EQ(station_->state().model->before, second);
  give(flows::GoBack{"never taught", "stops_good_units"});
  EXPECT_EQ(station_->state().model->model, first);
}

// Another quality engineer signs in while the model's file is written.
TEST_F(ClassroomTest, AnApprovalStandsUnderNobodyElsesName) {
  begin();
  photograph();
  learn();
  classroom_->touch(flows::Approve{});
  desk_->handle(flows::Event(flows::SignIn{"p-other", domain::Role::quality_engineer}));
  settle();
  EXPECT_FALSE(station_->state().model);
  EXPECT_THAT(desk_->facts().notices, testing::ElementsAre(HasSubstr("Somebody else")));
  EXPECT_EQ(now().step, Step::sheet);
}

class LockingClassroomTest : public ClassroomTest {
 protected:
  LockingClassroomTest() { lock_after_min_ = 5; }
};

TEST_F(LockingClassroomTest, BehindTheLockNothingIsTaught) {
  begin();
  shoot({.noise = 3});
  clock_.now_us_ += std::int64_t{10} * 60'000'000;
  desk_->tick();
  ASSERT_TRUE(desk_->facts().locked);
  shoot({.noise = 4});
  give(flows::TakeBackShot{now().shots.front().file});
  give(flows::GoToStep{Step::home});
  EXPECT_EQ(now().step, Step::shoot);
  EXPECT_THAT(now().shots, SizeIs(1));
  EXPECT_FALSE(fs::exists(folder_ / "teaching" / "shot-002.jpg"));
}

// The first step of the lesson holds on until it was told to stop: it takes no second one.
TEST_F(ClassroomTest, LearningCanBeStopped) {
  begin();
  photograph();
  std::atomic<int> steps = 0;
  std::promise<void> stopped;
  woken_ = [&, told = stopped.get_future().share()] {
    if (++steps == 1) told.wait();
  };
  classroom_->touch(flows::Learn{});
  while (steps == 0) std::this_thread::yield();
  classroom_->touch(flows::StopLearning{});
  EXPECT_EQ(now().step, Step::shoot);
  stopped.set_value();
  give(flows::OpenTeaching{});  // waits until the thread has ended the lesson and read the folder
  EXPECT_EQ(steps, 3) << "one step, its end, and the folder";
  EXPECT_EQ(now().step, Step::home) << "what came of it is late";
  EXPECT_FALSE(now().sheet);
  woken_ = [] {};
  give(flows::ChooseVariant{"SP"});
  learn();
  EXPECT_THAT(now().sheet->components, SizeIs(2));
}

TEST_F(ClassroomTest, OnePictureIsNotTakenTwice) {
  begin();
  shoot({.noise = 3});
  give(flows::TakeShot{});  // the camera still shows the same
  EXPECT_THAT(now().shots, SizeIs(1));
  EXPECT_NE(now().trouble, "");
}

TEST_F(ClassroomTest, WithoutAnyPictureNothingIsTaken) {
  give(flows::OpenTeaching{});
  give(flows::ChooseVariant{"SP"});
  give(flows::TakeReference{});
  EXPECT_EQ(now().step, Step::reference);
  EXPECT_NE(now().trouble, "");
}

TEST_F(ClassroomTest, StartingAfreshErasesNothing) {
  begin();
  photograph();
  give(flows::GoToStep{Step::home});
  give(flows::StartAfresh{});
  EXPECT_THAT(now().shots, IsEmpty());
  EXPECT_FALSE(now().reference);
  EXPECT_TRUE(fs::exists(folder_ / "teaching-1" / "shot-004.jpg"));
}

std::map<std::string, std::string> bytes_in(const fs::path& folder) {
  std::map<std::string, std::string> all;
  for (const auto& entry : fs::directory_iterator(folder)) {
    std::ifstream in(entry.path(), std::ios::binary);
    all[entry.path().filename()] = {std::istreambuf_iterator<char>(in), {}};
  }
  return all;
}

// One word typed by hand, and every mark and label would be written over by the next picture.
TEST_F(ClassroomTest, WhatCannotBeReadIsNotWrittenOver) {
  begin();
  photograph();
  close();
  std::ofstream(folder_ / "teaching" / "labels.csv", std::ios::app)
      << "shot-004.jpg,SP,knob,OK,present,1\n";
  const auto before = bytes_in(folder_ / "teaching");
  open();
  give(flows::OpenTeaching{});
  EXPECT_TRUE(now().unread);
  EXPECT_THAT(desk_->facts().notices, testing::ElementsAre(HasSubstr("labels.csv: line 10")));
  begin();
  photograph();
  EXPECT_EQ(bytes_in(folder_ / "teaching"), before);
  give(flows::StartAfresh{});
  EXPECT_FALSE(now().unread);
  EXPECT_EQ(bytes_in(folder_ / "teaching-1"), before);
  begin();
  photograph();
  EXPECT_THAT(now().shots, SizeIs(4));
}

// Claims 65,000 x 65,000 pixels, which nothing here can hold.
void make_huge(const fs::path& jpeg) {
  std::fstream file(jpeg, std::ios::in | std::ios::out | std::ios::binary);
  const std::string bytes(std::istreambuf_iterator<char>(file), {});
  const std::size_t frame = bytes.find("\xFF\xC0");
  ASSERT_NE(frame, std::string::npos);
  file.seekp(static_cast<std::streamoff>(frame) + 5);
  file.write("\xFD\xE8\xFD\xE8", 4);
}

TEST_F(ClassroomTest, APictureThatClaimsTooMuchIsSaidOnTheScreen) {
  begin();
  photograph();
  make_huge(folder_ / "teaching" / "shot-002.jpg");
  give(flows::Learn{});
  EXPECT_EQ(now().step, Step::shoot);
  EXPECT_THAT(now().trouble, HasSubstr("shot-002.jpg"));
  make_huge(folder_ / "teaching" / "reference.jpg");
  give(flows::OpenTeaching{});
  EXPECT_TRUE(now().unread);
  EXPECT_THAT(desk_->facts().notices, testing::ElementsAre(HasSubstr("reference.jpg")));
}

TEST_F(ClassroomTest, AFileNameThatNoDiskTakesIsSaidOnTheScreen) {
  begin();
  photograph();
  const std::string name = std::string(300, 'a') + ".jpg";
  std::ofstream(folder_ / "teaching" / "labels.csv", std::ios::app)
      << name << ",SP,knob,present,present,1\n";
  give(flows::Learn{});
  EXPECT_EQ(now().step, Step::shoot);
  EXPECT_THAT(now().trouble, HasSubstr(name));
  give(flows::OpenTeaching{});
  EXPECT_THAT(desk_->facts().notices, testing::ElementsAre(HasSubstr(name)));
}

// The unit still lies there, and so does its fault.
TEST_F(ClassroomTest, APhotographThatWasNotKeptIsTakenAgain) {
  begin();
  give(flows::SetFault{{"cover", domain::Seen::absent}});
  block("labels.csv");
  shoot({.cover = false});
  EXPECT_THAT(now().trouble, HasSubstr("labels.csv"));
  EXPECT_THAT(now().shots, IsEmpty());
  EXPECT_THAT(now().faults, SizeIs(1));
  unblock("labels.csv");
  give(flows::TakeShot{});  // of the same picture
  EXPECT_EQ(now().trouble, "");
  ASSERT_THAT(now().shots, SizeIs(1));
  EXPECT_THAT(now().shots[0].faults, SizeIs(1));
  EXPECT_THAT(now().faults, IsEmpty()) << "the next unit is another one";
}

// A list that cannot be read is told once, not for ever.
TEST_F(ClassroomTest, AListOfModelsThatCannotBeReadIsToldOnce) {
  taught_and_approved();
  domain::ModelApproved approval;
  approval.model = "another";
  approval.file = std::string(64, 'a');
  desk_->handle(flows::Event(flows::ApproveModel{approval, "p-quality_engineer"}));
  ASSERT_EQ(station_->state().model->model, "another");
  records::testing::sql(folder_ / "records.db", "ALTER TABLE approved_model RENAME TO gone");
  classroom_->follow(desk_->facts());
  EXPECT_THAT(desk_->facts().notices, testing::ElementsAre(HasSubstr("approved_model")));
  const int changes = desk_->changes();
  classroom_->follow(desk_->facts());
  EXPECT_EQ(desk_->changes(), changes);
  records::testing::sql(folder_ / "records.db", "ALTER TABLE gone RENAME TO approved_model");
  give(flows::OpenTeaching{});
  EXPECT_EQ(desk_->facts().teaching->models.front().model, "another");
}

// --- which model the camera judges by ----------------------------------------------------------

class WhichModelTest : public ClassroomTest {
 protected:
  std::unique_ptr<Eye> eye() {
    fs::create_directories(place_ / "camera");
    cv::imwrite((place_ / "camera" / "a.png").string(), picture_of({}));
    auto opened =
        Eye::open({*desk_, clock_, main_, desk_tasks_, *pictures_}, place_ / "camera", folder_);
    EXPECT_TRUE(opened);
    return std::move(*opened);
  }
  void put_file_of_old_model() {
    old_ = capture::testing::taught_small_product();
    model_file_ = folder_ / "small.model";
    ASSERT_TRUE(vision::save_model(old_, model_file_));
  }
  vision::Model old_;
};

TEST_F(WhichModelTest, IsTheFileInTheFolderUntilOneIsApproved) {
  put_file_of_old_model();
  {
    const auto seeing = eye();
    EXPECT_EQ(desk_->facts().camera.model, old_.id);
    EXPECT_EQ(seeing->model_file(), folder_ / "small.model");
  }
  const std::string approved = taught_and_approved();
  const auto seeing = eye();
  EXPECT_EQ(desk_->facts().camera.model, approved);
  EXPECT_EQ(seeing->model_file(), pictures_->path_of(station_->state().model->file));
}

TEST_F(WhichModelTest, ChangesWithTheApproval) {
  put_file_of_old_model();
  const auto seeing = eye();
  const std::string approved = taught_and_approved();
  seeing->follow(desk_->facts());
  while (desk_->facts().camera.model != approved) {
    main_.run();
    std::this_thread::yield();
  }
  EXPECT_EQ(desk_->facts().camera.model_trouble, "");
}

TEST_F(WhichModelTest, IsNeverAnotherOneWhereTheApprovedOneCannotBeRead) {
  put_file_of_old_model();
  taught_and_approved();
  const fs::path file = pictures_->path_of(station_->state().model->file);
  std::ofstream(file, std::ios::app) << "x";
  {
    const auto seeing = eye();
    EXPECT_EQ(desk_->facts().camera.model, "");
    EXPECT_THAT(desk_->facts().camera.model_trouble, HasSubstr("missing or altered"));
  }
  fs::remove(file);
  const auto seeing = eye();
  EXPECT_EQ(desk_->facts().camera.model, "");
  EXPECT_THAT(desk_->facts().camera.model_trouble, HasSubstr(file.string()));
}

}  // namespace
}  // namespace lastlook::app
