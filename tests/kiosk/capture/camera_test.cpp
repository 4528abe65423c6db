// SPDX-License-Identifier: Apache-2.0
#include "kiosk/capture/camera.h"

#include "tests/kiosk/capture/fakes.h"

namespace lastlook::capture {
namespace {

using std::chrono::milliseconds;
using testing::picture_of;

struct CameraTest : ::testing::Test {
  std::shared_ptr<testing::FakeSource> source = std::make_shared<testing::FakeSource>();
  testing::FakeClock clock;
  testing::Signal signal;
  std::unique_ptr<Camera> camera;

  void start(CameraOptions options = {.first_retry = milliseconds(1)}) {
    camera = std::make_unique<Camera>(source, clock, options);
    camera->listen([this] { signal.raise(); });
  }
  bool comes_to(CameraState state) {
    return signal.wait_until([&] { return camera->status().state == state; });
  }
  bool counts(std::int64_t frames) {
    return signal.wait_until([&] { return camera->status().frames == frames; });
  }
};

TEST_F(CameraTest, HasNoFrameBeforeTheFirst) {
  start();
  EXPECT_EQ(camera->latest(), nullptr);
  EXPECT_EQ(camera->status().state, CameraState::starting);
}

TEST_F(CameraTest, NewestFrameWinsAndUnseenOnesAreCounted) {
  start();
  for (int number = 1; number <= 3; ++number) source->queue(picture_of(number));
  ASSERT_TRUE(counts(3));
  const FramePtr frame = camera->latest();
  ASSERT_NE(frame, nullptr);
  EXPECT_EQ(frame->name, "picture-3");
  EXPECT_EQ(frame->number, 3);
  EXPECT_EQ(frame->picture.at<cv::Vec3b>(0, 0)[0], 3);
  EXPECT_EQ(camera->status().dropped, 2);
  source->queue(picture_of(4));
  ASSERT_TRUE(counts(4));
  EXPECT_EQ(camera->status().dropped, 2);  // number 3 was looked at
}

TEST_F(CameraTest, FrameCarriesTheTimeItCame) {
  start();
  clock.forward(milliseconds(500));
  source->queue(picture_of(1));
  ASSERT_TRUE(counts(1));
  EXPECT_EQ(camera->latest()->taken_us, 1'500'000);
  clock.forward(milliseconds(700));
  EXPECT_EQ(camera->status().frame_age, milliseconds(700));
}

TEST_F(CameraTest, SaysStalledWhileTheReadBlocks) {
  start();
  source->queue(picture_of(1));
  ASSERT_TRUE(comes_to(CameraState::running));
  clock.forward(milliseconds(2001));
  EXPECT_EQ(camera->status().state, CameraState::stalled);
  source->queue(picture_of(2));
  EXPECT_TRUE(comes_to(CameraState::running));
}

TEST_F(CameraTest, UnpluggedAndPluggedInAgainItGoesOn) {
  start();
  source->queue_opening({Category::not_found, "/dev/v4l/by-id/cam: no such device"});
  source->queue_opening({Category::not_found, "/dev/v4l/by-id/cam: no such device"});
  source->queue(picture_of(1));
  ASSERT_TRUE(counts(1));
  source->queue_opening({Category::not_found, "/dev/v4l/by-id/cam: no such device"});
  source->queue(fail(Category::not_found, "the camera was unplugged"));
  source->queue(picture_of(2));
  ASSERT_TRUE(counts(2));
  EXPECT_EQ(camera->status().state, CameraState::running);
  EXPECT_GE(source->openings(), 3);
  EXPECT_EQ(camera->latest()->number, 2);  // counted on
}

TEST_F(CameraTest, SaysGoneAndWhenItTriesAgain) {
  source->queue_opening({Category::not_found, "/dev/v4l/by-id/cam: no such device"});
  start({.first_retry = milliseconds(60'000), .longest_retry = milliseconds(60'000)});
  ASSERT_TRUE(comes_to(CameraState::gone));
  const CameraStatus status = camera->status();
  EXPECT_GT(status.retry_in, milliseconds(0));
  EXPECT_LE(status.retry_in, milliseconds(60'000));
  EXPECT_EQ(status.detail, "/dev/v4l/by-id/cam: no such device");
  camera.reset();  // does not wait for the minute
}

TEST_F(CameraTest, KeepsTheLastFrameOfTheRightSizeWhenAnotherSizeComes) {
  source->wanted_px = {32, 24};
  start();
  source->queue(picture_of(1));
  source->queue(picture_of(2, {64, 48}));
  ASSERT_TRUE(comes_to(CameraState::wrong_size));
  EXPECT_EQ(camera->status().got_px, cv::Size(64, 48));
  EXPECT_EQ(camera->status().opened.wanted_px, cv::Size(32, 24));
  EXPECT_EQ(camera->latest()->name, "picture-1");
}

TEST_F(CameraTest, LeavesABlockedReadToItselfAtTheEnd) {
  source->ignores_interrupt = true;
  start({.longest_stop = milliseconds(1)});
  source->queue(picture_of(1));
  ASSERT_TRUE(counts(1));
  int calls = 0;
  camera->listen([&calls] { ++calls; });
  camera.reset();  // returns although the read never does
  source->release();
  source->wait_until_closed();  // the thread ends by itself
  EXPECT_EQ(calls, 0);
}

TEST_F(CameraTest, AnswersToManyThreadsAtOnce) {
  start();
  std::vector<std::thread> readers;
  std::atomic<bool> stop = false;
  for (int i = 0; i < 3; ++i) {
    readers.emplace_back([&] {
      std::int64_t last = 0;
      while (!stop) {
        const FramePtr frame = camera->latest();
        if (!frame) continue;
        EXPECT_GE(frame->number, last);  // never goes back
        last = frame->number;
        EXPECT_EQ(frame->name, "picture-" + std::to_string(frame->picture.at<cv::Vec3b>(0, 0)[0]));
      }
    });
  }
  for (int number = 1; number <= 200; ++number) source->queue(picture_of(number));
  EXPECT_TRUE(counts(200));
  stop = true;
  for (auto& reader : readers) reader.join();
}

TEST(CameraState, HasAWordForEach) {
  EXPECT_EQ(to_word(CameraState::starting), "starting");
  EXPECT_EQ(to_word(CameraState::wrong_size), "wrong_size");
}

}  // namespace
}  // namespace lastlook::capture
