// SPDX-License-Identifier: Apache-2.0
#include "vision/disturb.h"

#include <cmath>
#include <opencv2/imgproc.hpp>

namespace lastlook::vision {
namespace {

double between(cv::RNG& rng, double low, double high) {
  return rng.uniform(low, high);
}

void multiply(cv::Mat& patch, const cv::Mat& factor) {
  cv::Mat three;
  cv::merge(std::vector<cv::Mat>{factor, factor, factor}, three);
  patch = patch.mul(three);
}

// A soft step or band of shade across the patch.
void shade(cv::Mat& patch, cv::RNG& rng) {
  const double a = between(rng, 0, 2 * CV_PI);
  const double size = std::hypot(patch.cols, patch.rows) / 2;
  const double offset = between(rng, -0.8, 0.8) * size;
  const double soft = between(rng, 0.03, 0.5) * size;
  const double depth = between(rng, 0.1, 0.5);
  const double band = between(rng, 0.2, 1.2) * size;
  cv::Mat factor(patch.size(), CV_32F);
  for (int y = 0; y < patch.rows; ++y) {
    for (int x = 0; x < patch.cols; ++x) {
      const double t = (x - patch.cols / 2.0) * std::cos(a) + (y - patch.rows / 2.0) * std::sin(a);
      const double in = 1 / (1 + std::exp(-(t - offset) / soft * 4));
      const double out = 1 / (1 + std::exp(-(t - offset - band) / soft * 4));
      factor.at<float>(y, x) = static_cast<float>(1 - depth * (in - out));
    }
  }
  multiply(patch, factor);
}

void fall_off(cv::Mat& patch, cv::RNG& rng) {
  const double a = between(rng, 0, 2 * CV_PI);
  const double slope = between(rng, 0, 0.3);
  cv::Mat factor(patch.size(), CV_32F);
  for (int y = 0; y < patch.rows; ++y)
    for (int x = 0; x < patch.cols; ++x)
      factor.at<float>(y, x) = static_cast<float>(
          1 + slope * ((x / static_cast<double>(patch.cols) - 0.5) * std::cos(a) +
                       (y / static_cast<double>(patch.rows) - 0.5) * std::sin(a)));
  multiply(patch, factor);
}

// A dark or light soft blob, tinted a little.
void smudge(cv::Mat& patch, cv::RNG& rng) {
  cv::Mat blob = cv::Mat::zeros(patch.size(), CV_32F);
  const double size = std::sqrt(static_cast<double>(patch.total()));
  cv::ellipse(blob, cv::Point(rng.uniform(0, patch.cols), rng.uniform(0, patch.rows)),
              {cvRound(between(rng, 0.06, 0.25) * size), cvRound(between(rng, 0.06, 0.2) * size)},
              between(rng, 0, 180), 0, 360, cv::Scalar(between(rng, 0.2, 0.8)), cv::FILLED);
  cv::GaussianBlur(blob, blob, {}, between(rng, 1.5, 5));
  const bool dark = rng.uniform(0, 3) > 0;
  for (int y = 0; y < patch.rows; ++y) {
    for (int x = 0; x < patch.cols; ++x) {
      const float b = blob.at<float>(y, x);
      auto& p = patch.at<cv::Vec3f>(y, x);
      if (dark) {
        p[0] *= 1 - 0.30F * b;
        p[1] *= 1 - 0.36F * b;
        p[2] *= 1 - 0.42F * b;
      } else {
        p += cv::Vec3f::all(28 * b);
      }
    }
  }
}

}  // namespace

cv::Matx23d small_misalignment(cv::RNG& rng, const cv::Rect2d& region_px, double shift_px,
                               double turn_deg, double scale) {
  const double a = between(rng, -turn_deg, turn_deg) * CV_PI / 180;
  const double s = 1 + between(rng, -scale, scale);
  const double cx = region_px.x + region_px.width / 2;
  const double cy = region_px.y + region_px.height / 2;
  const double c = s * std::cos(a);
  const double d = s * std::sin(a);
  return {c, -d, cx - c * cx + d * cy + between(rng, -shift_px, shift_px),
          d, c,  cy - d * cx - c * cy + between(rng, -shift_px, shift_px)};
}

bool shines(const cv::Mat& patch, const cv::Rect2d& inner) {
  constexpr double clipped = 245;
  constexpr double least_share = 0.004;
  const cv::Mat part = patch(cv::Rect(inner) & cv::Rect({}, patch.size()));
  cv::Mat grey;
  cv::cvtColor(part, grey, cv::COLOR_BGR2GRAY);
  return cv::countNonZero(grey > clipped) > least_share * static_cast<double>(grey.total());
}

void add_highlight(cv::Mat& patch, const cv::Rect2d& inner, cv::RNG& rng) {
  const double side = std::sqrt(inner.area());
  cv::Mat light = cv::Mat::zeros(patch.size(), CV_32F);
  const cv::Point at(cvRound(between(rng, inner.x, inner.x + inner.width)),
                     cvRound(between(rng, inner.y, inner.y + inner.height)));
  cv::ellipse(light, at,
              {cvRound(between(rng, 0.04, 0.15) * side), cvRound(between(rng, 0.04, 0.12) * side)},
              between(rng, 0, 180), 0, 360, cv::Scalar(between(rng, 80, 200)), cv::FILLED);
  cv::GaussianBlur(light, light, {}, between(rng, 0.8, 0.04 * side + 1));
  cv::Mat three;
  cv::merge(std::vector<cv::Mat>{light, light, light}, three);
  patch = cv::min(patch + three, 255.0);
}

void disturb(cv::Mat& patch, cv::RNG& rng) {
  // A component is small: most are spared what a whole picture suffers somewhere.
  if (rng.uniform(0, 4) == 0) shade(patch, rng);
  fall_off(patch, rng);
  if (rng.uniform(0, 4) == 0) smudge(patch, rng);
  const double warm = between(rng, -0.05, 0.05);
  const double gain = between(rng, 0.8, 1.2);
  patch = patch.mul(cv::Scalar(gain * (1 + warm), gain, gain * (1 - warm)));
  if (rng.uniform(0, 2) == 0) cv::GaussianBlur(patch, patch, {}, between(rng, 0.3, 1.3));
  cv::Mat noise(patch.size(), patch.type());
  rng.fill(noise, cv::RNG::NORMAL, 0, between(rng, 0.3, 3));
  patch += noise;
  patch = cv::max(patch, 0.0);
}

}  // namespace lastlook::vision
