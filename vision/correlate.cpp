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

float dot(const cv::Mat& window, const cv::Mat& part, cv::Point at) {
  float sum = 0;
  for (int v = 0; v < part.rows; ++v)
    sum += dot(window.ptr<float>(at.y + v) + at.x, part.ptr<float>(v), part.cols);
  return sum;
}

// How much the window varies under a template laid over it: by tables of sums where every pixel
// counts, else pixel by pixel.
class WindowSums {
 public:
  WindowSums(const cv::Mat& window, cv::Size size, const cv::Mat& counts)
      : window_(window), size_(size), counts_(counts) {
    if (counts.empty()) {
      cv::integral(window, sum_, squares_, CV_64F, CV_64F);
      pixels_ = static_cast<double>(size.area());
    } else {
      squared_ = window.mul(window);
      pixels_ = cv::sum(counts)[0];
    }
  }
  double pixels() const { return pixels_; }
  double variation(cv::Point at) const {
    const bool all = counts_.empty();
    const double s = all ? total(sum_, at) : static_cast<double>(dot(window_, counts_, at));
    const double q = all ? total(squares_, at) : static_cast<double>(dot(squared_, counts_, at));
    return q - s * s / pixels_;
  }

 private:
  double total(const cv::Mat& table, cv::Point at) const {
    const cv::Point to(at.x + size_.width, at.y + size_.height);
    return table.at<double>(to) - table.at<double>(at.y, to.x) - table.at<double>(to.y, at.x) +
           table.at<double>(at);
  }

  const cv::Mat& window_;
  cv::Size size_;
  const cv::Mat& counts_;
  cv::Mat sum_, squares_, squared_;
  double pixels_ = 0;
};

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

bool make_unit(cv::Mat& patch, const cv::Mat& counts) {
  double n = static_cast<double>(patch.total());
  if (counts.empty()) {
    patch -= cv::mean(patch)[0];
  } else {
    n = cv::sum(counts)[0];
    if (n < 1) return false;
    patch = (patch - counts.dot(patch) / n).mul(counts);
  }
  const double length = cv::norm(patch);
  if (!(length > 1e-4 * std::sqrt(n))) return false;
  patch /= length;
  return true;
}

void correlate(const cv::Mat& window, const cv::Mat& unit, cv::Mat& surface,
               const cv::Mat& counts) {
  const int rows = window.rows - unit.rows + 1;
  const int cols = window.cols - unit.cols + 1;
  surface.create(rows, cols, CV_32F);
  const WindowSums sums(window, unit.size(), counts);
  for (int y = 0; y < rows; ++y) {
    for (int x = 0; x < cols; ++x) {
      const float product = dot(window, unit, {x, y});
      const double variation = sums.variation({x, y});
      const bool flat = variation <= 1e-7 * sums.pixels();
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
