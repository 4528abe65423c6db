// SPDX-License-Identifier: Apache-2.0
#include "kiosk/capture/video_source.h"

#include <fstream>
#include <thread>

#include "kiosk/capture/pixels.h"

namespace lastlook::capture {
namespace {

namespace fs = std::filesystem;

struct VideoSourceTest : ::testing::Test {
  fs::path folder = fs::path(::testing::TempDir()) /
                    ("video_source_" +
                     std::string(::testing::UnitTest::GetInstance()->current_test_info()->name()));
  fs::path file = folder / "three.avi";

  void SetUp() override {
    fs::remove_all(folder);
    fs::create_directories(folder);
    cv::VideoWriter writer(file.string(), cv::VideoWriter::fourcc('M', 'J', 'P', 'G'), 500,
                           {64, 48});
    for (const int grey : {50, 100, 150}) {
      writer.write(cv::Mat(48, 64, CV_8UC3, cv::Scalar::all(grey)));
    }
  }
  void TearDown() override { fs::remove_all(folder); }
};

TEST_F(VideoSourceTest, PlaysItsFramesInOrder) {
  VideoSource source(file);
  const auto opened = source.open();
  ASSERT_TRUE(opened) << opened.error().message;
  EXPECT_FALSE(opened->live);
  for (const int grey : {50, 100, 150}) {
    const auto picture = source.take();
    ASSERT_TRUE(picture);
    EXPECT_EQ(picture->pixels.size(), cv::Size(64, 48));
    EXPECT_NEAR(mean_brightness(picture->pixels), grey, 4);
  }
}

TEST_F(VideoSourceTest, WaitsAtTheEndUntilInterrupted) {
  VideoSource source(file);
  ASSERT_TRUE(source.open());
  for (int i = 0; i < 3; ++i) ASSERT_TRUE(source.take());
  std::thread other([&source] { source.interrupt(); });
  EXPECT_FALSE(source.take());
  other.join();
}

TEST_F(VideoSourceTest, SaysWhatCannotBePlayed) {
  VideoSource missing(folder / "none.avi");
  EXPECT_EQ(missing.open().error().category, Category::not_found);
  std::ofstream(folder / "text.avi") << "not a video";
  VideoSource text(folder / "text.avi");
  EXPECT_EQ(text.open().error().category, Category::refused);
}

TEST(VideoSource, SaysThatAPathCannotBeRead) {
  VideoSource source("/" + std::string(400, 'x'));
  const auto opened = source.open();
  ASSERT_FALSE(opened);
  EXPECT_EQ(opened.error().category, Category::not_found);
}

}  // namespace
}  // namespace lastlook::capture
