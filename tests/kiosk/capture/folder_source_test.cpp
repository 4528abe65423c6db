// SPDX-License-Identifier: Apache-2.0
#include "kiosk/capture/folder_source.h"

#include <fstream>
#include <opencv2/imgcodecs.hpp>
#include <thread>

namespace lastlook::capture {
namespace {

namespace fs = std::filesystem;

struct FolderSourceTest : ::testing::Test {
  fs::path folder = fs::path(::testing::TempDir()) /
                    ("folder_source_" +
                     std::string(::testing::UnitTest::GetInstance()->current_test_info()->name()));

  void SetUp() override {
    fs::remove_all(folder);
    fs::create_directories(folder);
    for (const auto& [name, grey] : {std::pair{"b.png", 20}, {"a.PNG", 10}, {"c.png", 30}}) {
      cv::imwrite((folder / name).string(), cv::Mat(6, 8, CV_8UC3, cv::Scalar::all(grey)));
    }
    std::ofstream(folder / "labels.csv") << "not a picture";
  }
  void TearDown() override { fs::remove_all(folder); }
};

std::string name_taken(FolderSource& source) {
  const auto picture = source.take();
  return picture ? picture->name : picture.error().message;
}

TEST_F(FolderSourceTest, ShowsTheFirstByNameAsBgr) {
  FolderSource source(folder);
  const auto opened = source.open();
  ASSERT_TRUE(opened);
  EXPECT_FALSE(opened->live);
  const auto picture = source.take();
  ASSERT_TRUE(picture);
  EXPECT_EQ(picture->name, "a.PNG");
  EXPECT_EQ(picture->pixels.type(), CV_8UC3);
  EXPECT_EQ(picture->pixels.at<cv::Vec3b>(0, 0), cv::Vec3b(10, 10, 10));
}

TEST_F(FolderSourceTest, GoesRoundOnRequest) {
  FolderSource source(folder);
  ASSERT_TRUE(source.open());
  std::vector<std::string> seen;
  for (int i = 0; i < 4; ++i, source.next()) seen.push_back(name_taken(source));
  EXPECT_EQ(seen, (std::vector<std::string>{"a.PNG", "b.png", "c.png", "a.PNG"}));
}

TEST_F(FolderSourceTest, GoesRoundByItself) {
  FolderSource source(folder, std::chrono::milliseconds(1));
  ASSERT_TRUE(source.open());
  std::vector<std::string> seen;
  for (int i = 0; i < 4; ++i) seen.push_back(name_taken(source));
  EXPECT_EQ(seen, (std::vector<std::string>{"a.PNG", "b.png", "c.png", "a.PNG"}));
}

TEST_F(FolderSourceTest, ShowsAPictureByName) {
  FolderSource source(folder);
  EXPECT_TRUE(source.show("c.png"));
  ASSERT_TRUE(source.open());
  EXPECT_EQ(name_taken(source), "c.png");
  const Status shown = source.show("z.png");
  ASSERT_FALSE(shown);
  EXPECT_EQ(shown.error().category, Category::not_found);
  EXPECT_THAT(shown.error().message, ::testing::HasSubstr("z.png"));
}

TEST_F(FolderSourceTest, OnePictureIsAFolderOfOne) {
  FolderSource source(folder / "b.png");
  ASSERT_TRUE(source.open());
  EXPECT_EQ(name_taken(source), "b.png");
  source.next();
  EXPECT_EQ(name_taken(source), "b.png");
}

TEST_F(FolderSourceTest, EmptyFolderIsNotFoundUntilItIsFilled) {
  const fs::path empty = folder / "empty";
  FolderSource source(empty);
  const auto opened = source.open();
  ASSERT_FALSE(opened);
  EXPECT_EQ(opened.error().category, Category::not_found);
  EXPECT_THAT(opened.error().message, ::testing::HasSubstr(empty.string()));
  fs::create_directories(empty);
  fs::copy_file(folder / "b.png", empty / "b.png");
  EXPECT_TRUE(source.open());
}

TEST_F(FolderSourceTest, DamagedPictureIsAnErrorAndTheNextOneComes) {
  std::ofstream(folder / "b.png", std::ios::trunc) << "damaged";
  FolderSource source(folder);
  ASSERT_TRUE(source.show("b.png"));
  const auto picture = source.take();
  ASSERT_FALSE(picture);
  EXPECT_EQ(picture.error().category, Category::bad_input);
  source.next();
  EXPECT_EQ(name_taken(source), "c.png");
}

TEST_F(FolderSourceTest, InterruptEndsAWaitingTake) {
  FolderSource source(folder);
  ASSERT_TRUE(source.open());
  ASSERT_TRUE(source.take());
  std::thread other([&source] { source.interrupt(); });
  EXPECT_FALSE(source.take());
  other.join();
  EXPECT_FALSE(source.open());
}

// A name longer than any file system takes: asking for it is an error of its own.
TEST(FolderSource, SaysThatAPathCannotBeRead) {
  const std::filesystem::path path = "/" + std::string(400, 'x');
  FolderSource folder(path);
  const auto opened = folder.open();
  ASSERT_FALSE(opened);
  EXPECT_EQ(opened.error().category, Category::not_found);
  EXPECT_NE(opened.error().message.find("cannot be read"), std::string::npos);
  FolderSource still(path / "still.jpg");
  ASSERT_TRUE(still.open());
  const auto taken = still.take();
  ASSERT_FALSE(taken);
  EXPECT_EQ(taken.error().category, Category::not_found);
}

}  // namespace
}  // namespace lastlook::capture
