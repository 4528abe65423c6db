// SPDX-License-Identifier: Apache-2.0
#include "kiosk/capture/live_source.h"

#include "kiosk/capture/camera.h"
#include "kiosk/capture/pixels.h"
#include "tests/kiosk/capture/fake_driver.h"
#include "tests/kiosk/capture/fakes.h"
#include "tests/places.h"

namespace lastlook::capture {
namespace {

using std::chrono::milliseconds;
using testing::format_of;

struct LiveSourceTest : ::testing::Test {
  testing::FakeDriver* driver = new testing::FakeDriver;
  LiveSource source{std::unique_ptr<Driver>(driver),
                    "/dev/v4l/by-id/usb-test",
                    {.size_px = {128, 96}, .frame_within = milliseconds(300)}};

  Category error_of_open() {
    const auto opened = source.open();
    EXPECT_FALSE(opened);
    return opened.error().category;
  }
};

TEST_F(LiveSourceTest, GivesPicturesOfTheSizeAskedFor) {
  const auto opened = source.open();
  ASSERT_TRUE(opened);
  EXPECT_TRUE(opened->live);
  EXPECT_EQ(opened->wanted_px, cv::Size(128, 96));
  EXPECT_NEAR(opened->brightness, 90, 2);
  const auto picture = source.take();
  ASSERT_TRUE(picture);
  EXPECT_EQ(picture->pixels.size(), cv::Size(128, 96));
}

TEST_F(LiveSourceTest, DropsTheFramesOfTheWarmUp) {
  ASSERT_TRUE(source.open());
  EXPECT_GE(driver->frames, 20);
}

// Else the device stays taken, and it is refused when it is plugged in again.
TEST_F(LiveSourceTest, LetsGoOfTheDeviceWhenItIsUnpluggedWhileItWarmsUp) {
  driver->unplugged_after = 7;
  EXPECT_EQ(error_of_open(), Category::not_found);
  EXPECT_FALSE(driver->is_open);
  driver->plugged_in = true;
  EXPECT_TRUE(source.open());
}

TEST_F(LiveSourceTest, HoldsExposureAndWhiteBalanceAndMeasuresIt) {
  const auto opened = source.open();
  ASSERT_TRUE(opened);
  EXPECT_EQ(opened->exposure, Lock::held);
  EXPECT_EQ(opened->white_balance, Lock::held);
  EXPECT_EQ(driver->knobs[Knob::auto_exposure], 1);
  EXPECT_EQ(driver->knobs[Knob::exposure], 200);  // the probe was taken back
  EXPECT_EQ(driver->knobs[Knob::white_balance], 4600);
}

TEST_F(LiveSourceTest, SaysWhenTheDriverDoesNotHoldThem) {
  driver->locks = false;
  const auto opened = source.open();
  ASSERT_TRUE(opened);
  EXPECT_EQ(opened->exposure, Lock::refused);
  EXPECT_EQ(opened->white_balance, Lock::refused);
}

TEST_F(LiveSourceTest, DoesNotBelieveADriverWhosePicturesDoNotObey) {
  driver->only_says_it_locks = true;
  const auto opened = source.open();
  ASSERT_TRUE(opened);
  EXPECT_EQ(opened->exposure, Lock::doubtful);
  EXPECT_EQ(opened->white_balance, Lock::doubtful);
}

TEST_F(LiveSourceTest, TriesTheNextFormatWhereOneIsRefused) {
  driver->only_format = format_of("YUYV");
  ASSERT_TRUE(source.open());
  EXPECT_EQ(driver->knobs[Knob::pixel_format], format_of("YUYV"));
}

TEST_F(LiveSourceTest, DecodesFramesThatCameCompressed) {
  driver->unconverted = true;
  driver->only_format = format_of("MJPG");
  ASSERT_TRUE(source.open());
  const auto picture = source.take();
  ASSERT_TRUE(picture);
  EXPECT_NEAR(mean_brightness(picture->pixels), 90, 3);
  EXPECT_NEAR(blue_to_red(picture->pixels), 0.5, 0.03);
}

TEST_F(LiveSourceTest, PutsRedAndBlueWhereTheyBelong) {
  driver->unconverted = true;
  driver->knobs[Knob::pixel_format] = format_of("RGB3");
  driver->only_format = format_of("RGB3");
  ASSERT_TRUE(source.open());
  const auto picture = source.take();
  ASSERT_TRUE(picture);
  EXPECT_EQ(picture->pixels.at<cv::Vec3b>(5, 5)[0], 60);   // blue
  EXPECT_EQ(picture->pixels.at<cv::Vec3b>(5, 5)[2], 120);  // red
}

TEST_F(LiveSourceTest, ShortFrameIsAnErrorOfItsOwn) {
  ASSERT_TRUE(source.open());
  driver->short_frames = true;
  const auto picture = source.take();
  ASSERT_FALSE(picture);
  EXPECT_EQ(picture.error().category, Category::bad_input);
  EXPECT_THAT(picture.error().message, ::testing::HasSubstr("700 x 1"));
  driver->short_frames = false;
  EXPECT_TRUE(source.take());
}

TEST_F(LiveSourceTest, NoFrameInTimeIsAnError) {
  ASSERT_TRUE(source.open());
  driver->silent = true;
  const auto picture = source.take();
  ASSERT_FALSE(picture);
  EXPECT_EQ(picture.error().category, Category::io);
}

TEST_F(LiveSourceTest, TellsGoneFromInUse) {
  driver->plugged_in = false;
  EXPECT_EQ(error_of_open(), Category::not_found);
  driver->plugged_in = true;
  driver->in_use = true;
  EXPECT_EQ(error_of_open(), Category::busy);
}

TEST_F(LiveSourceTest, InterruptEndsIt) {
  ASSERT_TRUE(source.open());
  source.interrupt();
  EXPECT_FALSE(source.take());
  EXPECT_EQ(error_of_open(), Category::refused);
}

// The whole way: driver, source, camera.

struct LiveCameraTest : ::testing::Test {
  testing::FakeDriver* driver = new testing::FakeDriver;
  testing::FakeClock clock;
  testing::Signal signal;
  std::unique_ptr<Camera> camera;

  void start() {
    auto source = std::make_shared<LiveSource>(
        std::unique_ptr<Driver>(driver), "/dev/v4l/by-id/usb-test",
        LiveOptions{.size_px = {128, 96}, .frame_within = milliseconds(100)});
    camera = std::make_unique<Camera>(source, clock, CameraOptions{.first_retry = milliseconds(1)});
  }
  bool comes_to(CameraState state) {
    return signal.wait_until([&] { return camera->status().state == state; });
  }
};

TEST_F(LiveCameraTest, AnotherSizeThanAskedForIsNamedAndNotShown) {
  driver->only_size = {64, 48};
  start();
  ASSERT_TRUE(comes_to(CameraState::wrong_size));
  EXPECT_EQ(camera->status().got_px, cv::Size(64, 48));
  EXPECT_EQ(camera->status().opened.wanted_px, cv::Size(128, 96));
  EXPECT_EQ(camera->latest(), nullptr);
}

TEST_F(LiveCameraTest, CameraInUseElsewhereIsRefused) {
  driver->in_use = true;
  start();
  EXPECT_TRUE(comes_to(CameraState::refused));
}

TEST_F(LiveCameraTest, PulledOutAndPutBackItGoesOn) {
  start();
  ASSERT_TRUE(comes_to(CameraState::running));
  driver->plugged_in = false;
  ASSERT_TRUE(comes_to(CameraState::gone));
  driver->plugged_in = true;
  ASSERT_TRUE(comes_to(CameraState::running));
  EXPECT_GE(camera->status().openings, 2);
}

TEST_F(LiveCameraTest, CameraThatGivesNothingIsGone) {
  driver->silent = true;
  start();
  EXPECT_TRUE(comes_to(CameraState::gone));
}

TEST(SystemDriver, SaysWhatIsNotACamera) {
  const auto driver = system_driver();
  EXPECT_EQ(driver->open("/dev/v4l/by-id/no-such-camera").error().category, Category::not_found);
  EXPECT_EQ(driver->open("/dev/null").error().category, Category::busy);
  EXPECT_EQ(driver->open(source_dir() + "/CMakeLists.txt").error().category, Category::refused);
}

}  // namespace
}  // namespace lastlook::capture
