// SPDX-License-Identifier: Apache-2.0
// Parts drawn here: a screw head with a cross, at turns that are known.
#include "vision/turning.h"

#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/evidence.h"

namespace lastlook::vision {
namespace {

const cv::Rect2d box(8, 8, 48, 48);

// As matching_view() gives it: square root of grey.
cv::Mat screw(double turn_deg, int seed) {
  cv::Mat view(64, 64, CV_32F, cv::Scalar(60));
  const cv::Point2d middle(31.5, 31.5);
  cv::circle(view, middle, 23, cv::Scalar(170), cv::FILLED, cv::LINE_AA);
  for (const double arm : {0.0, 90.0}) {
    const double a = -(turn_deg + arm) * CV_PI / 180;  // y points down
    const cv::Point2d end(15 * std::cos(a), 15 * std::sin(a));
    cv::line(view, middle - end, middle + end, cv::Scalar(25), 5, cv::LINE_AA);
  }
  cv::Mat grain(view.size(), CV_32F);
  cv::RNG rng(static_cast<std::uint64_t>(seed));
  rng.fill(grain, cv::RNG::NORMAL, 0, 4);
  cv::GaussianBlur(view + grain, view, {}, 0.8);
  cv::sqrt(view, view);
  return view;
}

TEST(Turning, IsSeenInScrewsAtAnyTurn) {
  std::vector<cv::Mat> any;
  std::vector<cv::Mat> fixed;
  for (int i = 0; i < 6; ++i) {
    any.push_back(screw(31.0 * i, i));
    fixed.push_back(screw(2.0 + 0.7 * i, i));
  }
  EXPECT_TRUE(turns_freely(any, box));
  EXPECT_FALSE(turns_freely(fixed, box));
  EXPECT_FALSE(turns_freely({any[0]}, box));
}

// A bar fits at half a turn too; that says nothing of its turning.
TEST(Turning, IsNotSeenInABar) {
  std::vector<cv::Mat> bars;
  for (int i = 0; i < 4; ++i) {
    cv::Mat view(64, 64, CV_32F, cv::Scalar(8));
    cv::rectangle(view, cv::Rect(26, 4 + i, 12, 56), cv::Scalar(13), cv::FILLED);
    bars.push_back(view);
  }
  EXPECT_FALSE(turns_freely(bars, box));
}

TEST(Turning, IsUndoneBeforeMatching) {
  const cv::Mat one = screw(0, 1)(cv::Rect(box)).clone();
  for (const double deg : {10.0, 25.0, 40.0, 65.0}) {
    const cv::Mat upright = turned_upright(screw(deg, 2), box, {one});
    cv::Mat surface;
    cv::matchTemplate(upright(cv::Rect(box)), one, surface, cv::TM_CCOEFF_NORMED);
    EXPECT_GT(surface.at<float>(0), 0.9F) << deg;
  }
}

}  // namespace
}  // namespace lastlook::vision
