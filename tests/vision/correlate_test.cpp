// SPDX-License-Identifier: Apache-2.0
// Checked against OpenCV's matchTemplate (TM_CCOEFF_NORMED), which goes another way.
#include "vision/correlate.h"

#include <cmath>
#include <opencv2/imgproc.hpp>

#include "tests/vision/samples.h"

namespace lastlook::vision {
namespace {

cv::Mat random_picture(cv::Size size, int seed) {
  cv::Mat picture(size, CV_32F);
  cv::RNG rng(static_cast<std::uint64_t>(seed));
  rng.fill(picture, cv::RNG::UNIFORM, 0, 255);
  cv::GaussianBlur(picture, picture, {}, 1.0);
  return picture;
}

TEST(Correlate, EqualsMatchTemplateEverywhere) {
  const cv::Mat picture = random_picture({40, 33}, 1);
  cv::Mat unit = random_picture({17, 12}, 2);
  cv::Mat expected;
  cv::matchTemplate(picture, unit, expected, cv::TM_CCOEFF_NORMED);
  ASSERT_TRUE(make_unit(unit));
  cv::Mat surface;
  correlate(picture, unit, surface);
  ASSERT_EQ(surface.size(), expected.size());
  EXPECT_LT(cv::norm(surface, expected, cv::NORM_INF), 1e-4);
}

TEST(Correlate, FindsWholeShiftsExactly) {
  const cv::Mat picture = random_picture({60, 60}, 3);
  for (const cv::Point at : {cv::Point(0, 0), {7, 3}, {20, 31}, {40, 40}}) {
    cv::Mat unit = picture(cv::Rect(at, cv::Size(20, 20))).clone();
    ASSERT_TRUE(make_unit(unit));
    cv::Mat surface;
    correlate(picture, unit, surface);
    const Peak peak = find_peak(surface);
    EXPECT_EQ(peak.at, at);
    EXPECT_NEAR(peak.value, 1.0, 1e-5);
  }
}

// A band-limited pattern moved by a fraction of a pixel. A quadratic through the samples of a
// correlation peak is biased by a few hundredths of a pixel at most (common practice).
TEST(Correlate, FindsFractionsOfAPixel) {
  const auto pattern = [](double dx, double dy) {
    cv::Mat picture(48, 48, CV_32F);
    for (int y = 0; y < picture.rows; ++y)
      for (int x = 0; x < picture.cols; ++x)
        picture.at<float>(y, x) =
            static_cast<float>(100 + 40 * std::sin(0.5 * (x - dx)) * std::cos(0.4 * (y - dy)) +
                               25 * std::cos(0.33 * (x - dx) + 0.27 * (y - dy)));
    return picture;
  };
  cv::Mat unit = pattern(0, 0)(cv::Rect(8, 8, 32, 32)).clone();
  ASSERT_TRUE(make_unit(unit));
  for (const cv::Point2d shift : {cv::Point2d(0.25, 0), {-0.4, 0.3}, {0.5, -0.5}}) {
    cv::Mat surface;
    // Two pixels of room each way: the pattern repeats further out.
    correlate(pattern(shift.x, shift.y)(cv::Rect(6, 6, 36, 36)), unit, surface);
    const Peak peak = find_peak(surface);
    EXPECT_NEAR(peak.fine.x, 2 + shift.x, 0.05);
    EXPECT_NEAR(peak.fine.y, 2 + shift.y, 0.05);
  }
}

TEST(Correlate, IsFiniteOverFlatGround) {
  const cv::Mat flat(30, 30, CV_32F, cv::Scalar(77));
  cv::Mat unit = random_picture({10, 10}, 4);
  ASSERT_TRUE(make_unit(unit));
  cv::Mat surface;
  correlate(flat, unit, surface);
  EXPECT_TRUE(cv::checkRange(surface, true, nullptr, -1.0, 1.0001));
  cv::Mat none(10, 10, CV_32F, cv::Scalar(3));
  EXPECT_FALSE(make_unit(none));
}

}  // namespace
}  // namespace lastlook::vision
