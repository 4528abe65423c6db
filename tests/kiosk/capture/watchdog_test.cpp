// SPDX-License-Identifier: Apache-2.0
#include "kiosk/capture/watchdog.h"

namespace lastlook::capture {
namespace {

using std::chrono::milliseconds;

const cv::Size size{1280, 960};
constexpr std::int64_t second_us = 1'000'000;

struct WatchdogTest : ::testing::Test {
  CameraOptions options{.stalled_after = milliseconds(2000), .frozen_after = 3};
  Watchdog watchdog{options};
  std::uint64_t print = 0;

  CameraState after(std::int64_t us) const { return watchdog.status(us).state; }
};

TEST_F(WatchdogTest, LiveSourceWithoutItsFirstFrameStalls) {
  watchdog.opened({.live = true}, 0);
  EXPECT_EQ(after(2 * second_us), CameraState::starting);
  EXPECT_EQ(after(2 * second_us + 1000), CameraState::stalled);
}

TEST_F(WatchdogTest, StillSourceNeverStallsAndNeverFreezes) {
  watchdog.opened({.live = false}, 0);
  for (int i = 0; i < 10; ++i) watchdog.frame(size, 7, i);
  EXPECT_EQ(after(3600 * second_us), CameraState::running);
  EXPECT_EQ(watchdog.status(3600 * second_us).equal_frames, 10);
}

TEST_F(WatchdogTest, EqualFramesOfALiveSourceAreAFrozenStream) {
  watchdog.opened({.live = true}, 0);
  watchdog.frame(size, 7, 1);
  watchdog.frame(size, 7, 2);
  EXPECT_EQ(after(2), CameraState::running);
  watchdog.frame(size, 7, 3);
  EXPECT_EQ(after(3), CameraState::frozen);
  EXPECT_EQ(watchdog.status(3).equal_frames, 3);
  watchdog.frame(size, 8, 4);
  EXPECT_EQ(after(4), CameraState::running);
}

TEST_F(WatchdogTest, SizeIsCheckedOnEveryFrame) {
  watchdog.opened({.live = true, .wanted_px = size}, 0);
  EXPECT_TRUE(watchdog.frame(size, 1, 1));
  EXPECT_FALSE(watchdog.frame({640, 480}, 2, 2));
  EXPECT_EQ(after(2), CameraState::wrong_size);
  EXPECT_EQ(watchdog.status(2).frames, 1);
  EXPECT_TRUE(watchdog.frame(size, 3, 3));
  EXPECT_EQ(after(3), CameraState::running);
}

TEST_F(WatchdogTest, OneShortFrameIsLeftOutThreeInARowReopen) {
  watchdog.opened({.live = true}, 0);
  const Error short_frame{Category::bad_input, "a frame of 100 bytes"};
  EXPECT_FALSE(watchdog.failed_to_take(short_frame, 1));
  EXPECT_FALSE(watchdog.failed_to_take(short_frame, 2));
  watchdog.frame(size, 1, 3);  // a good one between starts the count again
  EXPECT_FALSE(watchdog.failed_to_take(short_frame, 4));
  EXPECT_FALSE(watchdog.failed_to_take(short_frame, 5));
  EXPECT_TRUE(watchdog.failed_to_take(short_frame, 6));
  EXPECT_EQ(after(6), CameraState::gone);
  EXPECT_EQ(watchdog.status(6).damaged, 5);
}

TEST_F(WatchdogTest, WhatSaysNoIsRefusedWhatIsNotThereIsGone) {
  watchdog.failed_to_open({Category::busy, "another program has it"}, 0);
  EXPECT_EQ(after(0), CameraState::refused);
  watchdog.failed_to_open({Category::refused, "no such format"}, 0);
  EXPECT_EQ(after(0), CameraState::refused);
  watchdog.failed_to_open({Category::not_found, "no such device"}, 0);
  EXPECT_EQ(after(0), CameraState::gone);
  EXPECT_EQ(watchdog.status(0).detail, "no such device");
}

TEST_F(WatchdogTest, RetryCountsDown) {
  const milliseconds pause = watchdog.failed_to_open({Category::not_found, "gone"}, 0);
  EXPECT_EQ(watchdog.status(0).retry_in, pause);
  EXPECT_EQ(watchdog.status(100'000).retry_in, pause - milliseconds(100));
  EXPECT_EQ(watchdog.status(3600 * second_us).retry_in, milliseconds(0));
}

TEST_F(WatchdogTest, OnlyAFrameShortensTheNextRetry) {
  const Error gone{Category::not_found, "gone"};
  for (int i = 0; i < 12; ++i) {
    watchdog.failed_to_open(gone, 0);
    watchdog.opened({.live = true}, 0);  // it opens, and gives nothing
  }
  EXPECT_GE(watchdog.failed_to_open(gone, 0), options.longest_retry / 2);
  watchdog.opened({.live = true}, 0);
  watchdog.frame(size, 1, 1);
  EXPECT_LE(watchdog.failed_to_open(gone, 0), options.first_retry);
}

TEST_F(WatchdogTest, SaysHowLongItsStatusHolds) {
  watchdog.opened({.live = true}, 0);
  watchdog.frame(size, 1, 0);
  EXPECT_EQ(watchdog.status_holds_for(500'000), milliseconds(1501));
  EXPECT_EQ(after(500'000 + 1'501'000), CameraState::stalled);
  EXPECT_EQ(watchdog.status_holds_for(10 * second_us), milliseconds(1000));
}

TEST_F(WatchdogTest, AgeIsOfTheNewestFrameAcrossReopening) {
  watchdog.opened({.live = true}, 0);
  watchdog.frame(size, 1, second_us);
  watchdog.opened({.live = true}, 5 * second_us);
  EXPECT_EQ(watchdog.status(6 * second_us).frame_age, milliseconds(5000));
}

TEST(BackOff, DoublesUpToTheLongestLessAtMostHalf) {
  BackOff back_off(milliseconds(500), milliseconds(30'000), 42);
  milliseconds whole{500};
  for (int i = 0; i < 12; ++i) {
    const milliseconds pause = back_off.next();
    EXPECT_LE(pause, whole);
    EXPECT_GE(pause, whole / 2);
    whole = std::min(whole * 2, milliseconds(30'000));
  }
}

TEST(BackOff, StationsWithDifferentSeedsComeBackApart) {
  BackOff a(milliseconds(30'000), milliseconds(30'000), 1);
  BackOff b(milliseconds(30'000), milliseconds(30'000), 2);
  BackOff a_again(milliseconds(30'000), milliseconds(30'000), 1);
  const milliseconds first = a.next();
  EXPECT_NE(first, b.next());
  EXPECT_EQ(first, a_again.next());
}

TEST(Fingerprint, TellsOnePixelApartInARowThatItReads) {
  cv::Mat picture(24, 33, CV_8UC3, cv::Scalar::all(90));
  const std::uint64_t before = fingerprint(picture);
  EXPECT_EQ(before, fingerprint(picture.clone()));
  picture.at<cv::Vec3b>(16, 32)[2] = 91;
  EXPECT_NE(before, fingerprint(picture));
}

TEST(Fingerprint, ReadsACutOutOfALargerPicture) {
  const cv::Mat large(40, 50, CV_8UC3, cv::Scalar(1, 2, 3));
  const cv::Mat cut = large(cv::Rect(5, 5, 20, 20));
  EXPECT_EQ(fingerprint(cut), fingerprint(cut.clone()));
}

}  // namespace
}  // namespace lastlook::capture
