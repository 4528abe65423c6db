// SPDX-License-Identifier: Apache-2.0
#include "vision/correlate.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

namespace lastlook::vision {
namespace {

constexpr int lanes = 8;  // independent sums, so that the compiler can keep them side by side

float dot(const float* a, const float* b, int n) {
  float sum[lanes] = {};
  int i = 0;
  for (; i + lanes <= n; i += lanes)
    for (int k = 0; k < lanes; ++k) sum[k] += a[i + k] * b[i + k];
  float rest = 0;
  for (; i < n; ++i) rest += a[i] * b[i];
  for (const float one : sum) rest += one;
  return rest;
}

// The top of the quadratic through the nine values around the middle one, from it.
cv::Point2d quadratic_top(const cv::Mat& surface, cv::Point at) {
  const auto value = [&](int dx, int dy) {
    return static_cast<double>(surface.at<float>(at.y + dy, at.x + dx));
  };
  const double gx = (value(1, 0) - value(-1, 0)) / 2;
  const double gy = (value(0, 1) - value(0, -1)) / 2;
  const double xx = value(1, 0) + value(-1, 0) - 2 * value(0, 0);
  const double yy = value(0, 1) + value(0, -1) - 2 * value(0, 0);
  const double xy = (value(1, 1) + value(-1, -1) - value(1, -1) - value(-1, 1)) / 4;
  const double det = xx * yy - xy * xy;
  if (!(xx < 0) || !(det > 1e-12)) return {};
  const cv::Point2d top((xy * gy - yy * gx) / det, (xy * gx - xx * gy) / det);
  return std::max(std::abs(top.x), std::abs(top.y)) <= 1 ? top : cv::Point2d();
}

}  // namespace

bool make_unit(cv::Mat& patch) {
  patch -= cv::mean(patch)[0];
  const double length = cv::norm(patch);
  if (!(length > 1e-4 * std::sqrt(static_cast<double>(patch.total())))) return false;
  patch /= length;
  return true;
}

void correlate(const cv::Mat& window, const cv::Mat& unit, cv::Mat& surface) {
  const int rows = window.rows - unit.rows + 1;
  const int cols = window.cols - unit.cols + 1;
  surface.create(rows, cols, CV_32F);
  cv::Mat sum;
  cv::Mat squares;
  cv::integral(window, sum, squares, CV_64F, CV_64F);
  const double n = static_cast<double>(unit.total());
  for (int y = 0; y < rows; ++y) {
    for (int x = 0; x < cols; ++x) {
      float product = 0;
      for (int v = 0; v < unit.rows; ++v)
        product += dot(window.ptr<float>(y + v) + x, unit.ptr<float>(v), unit.cols);
      const auto total = [&](const cv::Mat& table) {
        const int x1 = x + unit.cols;
        const int y1 = y + unit.rows;
        return table.at<double>(y1, x1) - table.at<double>(y, x1) - table.at<double>(y1, x) +
               table.at<double>(y, x);
      };
      const double s = total(sum);
      const double variation = total(squares) - s * s / n;
      const bool flat = variation <= 1e-7 * n;
      surface.at<float>(y, x) =
          flat ? 0.0F : std::clamp(product / static_cast<float>(std::sqrt(variation)), -1.0F, 1.0F);
    }
  }
}

Peak find_peak(const cv::Mat& surface) {
  Peak peak;
  cv::minMaxLoc(surface, nullptr, &peak.value, nullptr, &peak.at);
  peak.fine = peak.at;
  const auto [x, y] = std::pair(peak.at.x, peak.at.y);
  peak.at_edge = x == 0 || y == 0 || x + 1 == surface.cols || y + 1 == surface.rows;
  if (!peak.at_edge) peak.fine += quadratic_top(surface, peak.at);
  return peak;
}

}  // namespace lastlook::vision
