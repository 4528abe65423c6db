// SPDX-License-Identifier: Apache-2.0
// Checked against OpenCV's matchTemplate (TM_CCOEFF_NORMED), which goes another way.
#include "vision/correlate.h"

#include <cmath>
#include <opencv2/imgcodecs.hpp>
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

// A photograph that is not ours (tests/references/README.md). Each block is searched for in the
// whole picture, darker, less contrasty, blurred, noisy, and moved by a known part of a pixel.
TEST(Correlate, FindsTheBlocksOfAPhotographWhereTheyAre) {
  const cv::Mat photo =
      cv::imread(source_dir() + "/tests/references/blox.jpg", cv::IMREAD_GRAYSCALE);
  ASSERT_EQ(photo.size(), cv::Size(256, 256));
  const cv::Point2d moved(2.3, -1.4);
  const cv::Matx23d shift(1, 0, moved.x, 0, 1, moved.y);
  cv::Mat scene;
  cv::warpAffine(photo, scene, shift, photo.size(), cv::INTER_CUBIC, cv::BORDER_REFLECT);
  scene.convertTo(scene, CV_32F, 0.6, 20);
  cv::GaussianBlur(scene, scene, {}, 1.0);
  cv::Mat noise(scene.size(), CV_32F);
  cv::RNG(5).fill(noise, cv::RNG::NORMAL, 0, 4);
  scene += noise;
  for (const cv::Rect block : {cv::Rect(72, 188, 50, 52), cv::Rect(132, 148, 42, 66),
                               cv::Rect(168, 76, 40, 38), cv::Rect(184, 190, 60, 52)}) {
    cv::Mat unit;
    photo(block).convertTo(unit, CV_32F);
    ASSERT_TRUE(make_unit(unit));
    cv::Mat surface;
    correlate(scene, unit, surface);
    const Peak peak = find_peak(surface);
    EXPECT_NEAR(peak.fine.x, block.x + moved.x, 0.25);
    EXPECT_NEAR(peak.fine.y, block.y + moved.y, 0.25);
    EXPECT_GT(peak.value, 0.8);
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

TEST(Correlate, LeavesOutPixelsThatDoNotCountAsMatchTemplateDoes) {
  const cv::Mat picture = random_picture({40, 33}, 5);
  cv::Mat unit = random_picture({17, 12}, 6);
  cv::Mat counts(unit.size(), CV_32F, cv::Scalar(1));
  counts(cv::Rect(4, 3, 8, 6)).setTo(0);
  cv::Mat expected;
  cv::matchTemplate(picture, unit, expected, cv::TM_CCOEFF_NORMED, counts);
  ASSERT_TRUE(make_unit(unit, counts));
  cv::Mat surface;
  correlate(picture, unit, surface, counts);
  EXPECT_LT(cv::norm(surface, expected, cv::NORM_INF), 1e-4);
}

// With white noise of variance s^2 no unbiased estimator of a shift along x has less variance than
// s^2 / sum (d pattern / dx)^2 when the shift along y is known, and a little more when not: the
// Cramer-Rao bound of registration (Robinson and Milanfar, Fundamental performance limits in image
// registration, IEEE Transactions on Image Processing 13, 2004, from memory).
TEST(Correlate, FindsFractionsToTheOrderOfTheCramerRaoBound) {
  constexpr int side = 24;
  constexpr double noise = 4;
  const auto pattern = [](int size, double dx, double dy) {
    cv::Mat picture(size, size, CV_32F);
    for (int y = 0; y < size; ++y)
      for (int x = 0; x < size; ++x)
        picture.at<float>(y, x) =
            static_cast<float>(100 + 40 * std::sin(0.5 * (x - dx)) * std::cos(0.4 * (y - dy)) +
                               25 * std::cos(0.33 * (x - dx) + 0.27 * (y - dy)));
    return picture;
  };
  const cv::Rect inner(2, 2, side, side);
  cv::Mat unit = pattern(side + 4, 0, 0)(inner).clone();
  cv::Mat gx;
  cv::Mat gy;
  cv::Sobel(pattern(side + 4, 0, 0), gx, CV_64F, 1, 0, 3, 0.125);
  cv::Sobel(pattern(side + 4, 0, 0), gy, CV_64F, 0, 1, 3, 0.125);
  const double xx = gx(inner).dot(gx(inner));
  const double yy = gy(inner).dot(gy(inner));
  const double xy = gx(inner).dot(gy(inner));
  const double bound_px = noise * std::sqrt(yy / (xx * yy - xy * xy));
  ASSERT_TRUE(make_unit(unit));
  cv::RNG rng(8);
  double squares = 0;
  constexpr int trials = 400;
  for (int i = 0; i < trials; ++i) {
    const double dx = rng.uniform(-0.5, 0.5);
    cv::Mat seen = pattern(side + 4, dx, rng.uniform(-0.5, 0.5));
    cv::Mat grain(seen.size(), CV_32F);
    rng.fill(grain, cv::RNG::NORMAL, 0, noise);
    cv::Mat surface;
    correlate(seen + grain, unit, surface);
    const double error = find_peak(surface).fine.x - 2 - dx;
    squares += error * error;
  }
  const double rms_px = std::sqrt(squares / trials);
  EXPECT_GT(rms_px, 0.9 * bound_px);  // else the check itself is wrong
  EXPECT_LT(rms_px, 3 * bound_px);
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
