// SPDX-License-Identifier: Apache-2.0
#include "vision/patch.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "vision/features.h"

namespace lastlook::vision {
namespace {

constexpr double margin_share = 0.14;  // of the box's geometric mean side, on each side
constexpr double margin_least_px = 10;
constexpr double patch_area = 96 * 96;  // patch pixels aimed at
constexpr double largest_scale = 1.2;
constexpr double within_share = 0.6;      // of a box in another, from which it lies within it
constexpr double reach_share = 0.1;       // of a box's geometric mean side
constexpr double least_own_share = 0.25;  // of a box's cells, else all of them are its own

bool lies_within(const cv::Rect2d& box, const cv::Rect2d& around) {
  return (box & around).area() > within_share * box.area() && box.area() < around.area();
}

// Where a component may show when it is misplaced, and its shadow.
cv::Rect2d reach_of(const cv::Rect2d& box) {
  const double more = reach_share * std::sqrt(box.area());
  return {box.x - more, box.y - more, box.width + 2 * more, box.height + 2 * more};
}

cv::Mat own_cells(const PatchFrame& frame, const cv::Rect2d& box,
                  const std::vector<cv::Rect2d>& others) {
  const int cols = frame.size.width / cell_side;
  const int rows = frame.size.height / cell_side;
  cv::Mat own(1, rows * cols, CV_8U, cv::Scalar(1));
  int inside = 0;
  int inside_own = 0;
  for (int i = 0; i < rows * cols; ++i) {
    const cv::Point2d middle(
        frame.region_px.x + (i % cols + 0.5) * cell_side / frame.scale,
        frame.region_px.y + (static_cast<int>(i / cols) + 0.5) * cell_side / frame.scale);
    const bool in_box = box.contains(middle);
    for (const cv::Rect2d& other : others)
      if (in_box ? lies_within(other, box) && reach_of(other).contains(middle)
                 : other.contains(middle))
        own.at<unsigned char>(i) = 0;
    inside += in_box ? 1 : 0;
    inside_own += in_box && own.at<unsigned char>(i) ? 1 : 0;
  }
  if (inside_own < least_own_share * inside) own.setTo(1);
  return own;
}

}  // namespace

PatchFrame patch_frame(const cv::Rect2d& box_px, const std::vector<cv::Rect2d>& others_px) {
  PatchFrame frame;
  const double margin =
      std::max(margin_least_px, margin_share * std::sqrt(box_px.width * box_px.height));
  const double w = box_px.width + 2 * margin;
  const double h = box_px.height + 2 * margin;
  frame.scale = std::min(largest_scale, std::sqrt(patch_area / (w * h)));
  const auto cells = [&](double side) {
    return std::max(4, static_cast<int>(std::lround(side * frame.scale / cell_side)));
  };
  frame.size = {cells(w) * cell_side, cells(h) * cell_side};
  const double rw = frame.size.width / frame.scale;
  const double rh = frame.size.height / frame.scale;
  frame.region_px = {box_px.x + (box_px.width - rw) / 2, box_px.y + (box_px.height - rh) / 2, rw,
                     rh};
  frame.inner = {(box_px.x - frame.region_px.x) * frame.scale,
                 (box_px.y - frame.region_px.y) * frame.scale, box_px.width * frame.scale,
                 box_px.height * frame.scale};
  frame.own = own_cells(frame, box_px, others_px);
  return frame;
}

cv::Matx23d patch_to_reference(const PatchFrame& frame) {
  const double s = 1 / frame.scale;
  return {s, 0, frame.region_px.x + 0.5 * s - 0.5, 0, s, frame.region_px.y + 0.5 * s - 0.5};
}

cv::Matx23d inverse_of(const cv::Matx23d& m) {
  cv::Mat out;
  cv::invertAffineTransform(cv::Mat(m), out);
  return cv::Matx23d(out.ptr<double>());
}

cv::Matx23d compose(const cv::Matx23d& a, const cv::Matx23d& b) {
  cv::Matx23d c;
  for (int r = 0; r < 2; ++r) {
    for (int k = 0; k < 3; ++k)
      c(r, k) = a(r, 0) * b(0, k) + a(r, 1) * b(1, k) + (k == 2 ? a(r, 2) : 0);
  }
  return c;
}

PictureViews picture_views(const cv::Mat& bgr) {
  PictureViews views{bgr, {}, {}};
  cv::resize(bgr, views.half, {bgr.cols / 2, bgr.rows / 2}, 0, 0, cv::INTER_AREA);
  cv::resize(views.half, views.quarter, {bgr.cols / 4, bgr.rows / 4}, 0, 0, cv::INTER_AREA);
  return views;
}

cv::Mat make_thumbnail(const PictureViews& views, const cv::Matx23d& to_picture,
                       cv::Size reference_px) {
  cv::Mat small;
  cv::resize(views.quarter, small, {}, 0.25, 0.25, cv::INTER_AREA);
  const double s = static_cast<double>(reference_px.width) / thumbnail_size.width;
  const double f = static_cast<double>(small.cols) / views.full.cols;
  cv::Matx23d m = compose(to_picture, {s, 0, 0.5 * s - 0.5, 0, s, 0.5 * s - 0.5});
  for (int k = 0; k < 3; ++k)
    for (int r = 0; r < 2; ++r) m(r, k) *= f;
  m(0, 2) += 0.5 * f - 0.5;
  m(1, 2) += 0.5 * f - 0.5;
  cv::Mat thumbnail;
  cv::warpAffine(small, thumbnail, m, thumbnail_size, cv::INTER_LINEAR | cv::WARP_INVERSE_MAP,
                 cv::BORDER_REPLICATE);
  return thumbnail;
}

Gains light_gains(const cv::Mat& reference_thumbnail, const PictureViews& views,
                  const cv::Matx23d& to_picture, cv::Size reference_px) {
  const cv::Mat thumbnail = make_thumbnail(views, to_picture, reference_px);
  std::array<std::vector<float>, 3> ratios;
  for (int y = 0; y < thumbnail.rows; ++y) {
    for (int x = 0; x < thumbnail.cols; ++x) {
      const auto& a = thumbnail.at<cv::Vec3b>(y, x);
      const auto& b = reference_thumbnail.at<cv::Vec3b>(y, x);
      const auto usable = [](const cv::Vec3b& v) {
        return v[1] > 12 && std::max({v[0], v[1], v[2]}) < 245;
      };
      if (!usable(a) || !usable(b)) continue;
      for (int c = 0; c < 3; ++c)
        ratios[static_cast<std::size_t>(c)].push_back((static_cast<float>(b[c]) + 1) /
                                                      (static_cast<float>(a[c]) + 1));
    }
  }
  Gains gains{1, 1, 1};
  for (std::size_t c = 0; c < 3; ++c) {
    if (ratios[c].size() < 32) continue;
    const auto middle = ratios[c].begin() + static_cast<std::ptrdiff_t>(ratios[c].size() / 2);
    std::nth_element(ratios[c].begin(), middle, ratios[c].end());
    gains[c] = std::clamp(*middle, 0.2F, 5.0F);
  }
  return gains;
}

cv::Mat cut_patch(const PictureViews& views, const PatchFrame& frame, const cv::Matx23d& to_picture,
                  const Gains& gains) {
  cv::Matx23d m = compose(to_picture, patch_to_reference(frame));
  // Read from the view whose pixels are nearest in size to the patch's, never finer than half.
  const double step = std::hypot(m(0, 0), m(1, 0));
  const cv::Mat& view = step < 1.9 ? views.full : step < 3.8 ? views.half : views.quarter;
  const double f = static_cast<double>(view.cols) / views.full.cols;
  for (int r = 0; r < 2; ++r) {
    for (int k = 0; k < 3; ++k) m(r, k) *= f;
    m(r, 2) += 0.5 * f - 0.5;
  }
  cv::Mat patch;
  cv::warpAffine(view, patch, m, frame.size, cv::INTER_LINEAR | cv::WARP_INVERSE_MAP,
                 cv::BORDER_REPLICATE);
  patch.convertTo(patch, CV_32F);
  auto* p = patch.ptr<float>();
  const std::size_t n = patch.total();
  for (std::size_t i = 0; i < n; ++i, p += 3) {
    p[0] *= gains[0];
    p[1] *= gains[1];
    p[2] *= gains[2];
  }
  return patch;
}

}  // namespace lastlook::vision
