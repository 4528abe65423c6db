// SPDX-License-Identifier: Apache-2.0
#include "kiosk/capture/pixels.h"

#include "tests/kiosk/capture/fake_driver.h"

namespace lastlook::capture {
namespace {

using testing::format_of;

TEST(ToBgr, LeavesBgrAsItIs) {
  const cv::Mat frame(4, 6, CV_8UC3, cv::Scalar(1, 2, 3));
  EXPECT_EQ(to_bgr(frame, format_of("MJPG"))->at<cv::Vec3b>(3, 5), cv::Vec3b(1, 2, 3));
}

TEST(ToBgr, TurnsRgbRound) {
  const cv::Mat frame(4, 6, CV_8UC3, cv::Scalar(1, 2, 3));
  EXPECT_EQ(to_bgr(frame, format_of("RGB3"))->at<cv::Vec3b>(3, 5), cv::Vec3b(3, 2, 1));
}

// ITU-R BT.601, studio range: red has Y 81, Cb 90, Cr 240 (from memory).
TEST(ToBgr, ReadsBothOrdersOfYuv) {
  cv::Mat frame(2, 2, CV_8UC2);
  for (int y = 0; y < 2; ++y) {
    frame.at<cv::Vec2b>(y, 0) = {81, 90};
    frame.at<cv::Vec2b>(y, 1) = {81, 240};
  }
  cv::Mat swapped;
  cv::merge(std::vector<cv::Mat>{cv::Mat(2, 2, CV_8UC1, cv::Scalar(90)),
                                 cv::Mat(2, 2, CV_8UC1, cv::Scalar(81))},
            swapped);
  for (int y = 0; y < 2; ++y) swapped.at<cv::Vec2b>(y, 1)[0] = 240;
  for (const auto& bgr : {to_bgr(frame, format_of("YUYV")), to_bgr(swapped, format_of("UYVY"))}) {
    ASSERT_TRUE(bgr);
    const cv::Vec3b pixel = bgr->at<cv::Vec3b>(0, 0);
    EXPECT_NEAR(pixel[0], 0, 2);
    EXPECT_NEAR(pixel[1], 0, 2);
    EXPECT_NEAR(pixel[2], 255, 2);
  }
}

TEST(ToBgr, SpreadsGrey) {
  const cv::Mat frame(4, 6, CV_8UC1, cv::Scalar(77));
  EXPECT_EQ(to_bgr(frame, 0)->at<cv::Vec3b>(0, 0), cv::Vec3b(77, 77, 77));
}

TEST(ToBgr, RefusesWhatIsNoPictureAndSaysItsSize) {
  for (const cv::Mat& frame :
       {cv::Mat(), cv::Mat(1, 9, CV_8UC1, cv::Scalar(0)), cv::Mat(4, 4, CV_32FC1, cv::Scalar(0))}) {
    const auto bgr = to_bgr(frame, 0);
    ASSERT_FALSE(bgr);
    EXPECT_EQ(bgr.error().category, Category::bad_input);
    EXPECT_THAT(bgr.error().message, ::testing::HasSubstr(std::to_string(frame.cols) + " x"));
  }
}

}  // namespace
}  // namespace lastlook::capture
