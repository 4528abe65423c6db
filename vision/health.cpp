// SPDX-License-Identifier: Apache-2.0
#include "vision/health.h"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <opencv2/imgproc.hpp>

#include "vision/patch.h"
#include "vision/taught.h"

namespace lastlook::vision {
namespace {

constexpr double least_brightness_share = 0.2;  // of the reference's median grey level
constexpr double most_clipped_share = 0.35;
constexpr double least_sharpness_share = 0.4;
constexpr double most_offset_px = 40;
constexpr double most_dirty_share = 0.12;
constexpr double dirty_contrast = 0.45;  // of the reference's local contrast
constexpr std::size_t units_watched = 8;
constexpr int most_equal_frames = 5;

cv::Mat small_grey(const cv::Mat& picture) {
  cv::Mat grey = picture;
  if (picture.channels() == 3) cv::cvtColor(picture, grey, cv::COLOR_BGR2GRAY);
  cv::Mat half;
  cv::resize(grey, half, {grey.cols / 2, grey.rows / 2}, 0, 0, cv::INTER_AREA);
  return half;
}

double median(const cv::Mat& values) {
  std::vector<float> all;
  cv::Mat flat;
  values.convertTo(flat, CV_32F);
  all.assign(flat.begin<float>(), flat.end<float>());
  if (all.empty()) return 0;
  const auto middle = all.begin() + static_cast<std::ptrdiff_t>(all.size() / 2);
  std::nth_element(all.begin(), middle, all.end());
  return static_cast<double>(*middle);
}

double clipped_share(const cv::Mat& grey) {
  return static_cast<double>(cv::countNonZero(grey >= 252)) / static_cast<double>(grey.total());
}

// Detail of each cell, as a share of the picture's brightness, 32-bit float.
cv::Mat contrast_map(const cv::Mat& half_grey) {
  cv::Mat grey;
  half_grey.convertTo(grey, CV_32F);
  cv::Mat soft;
  cv::GaussianBlur(grey, soft, {}, 1.5);
  cv::Mat detail = cv::abs(grey - soft);
  const double level = std::max(cv::mean(grey)[0], 1.0);
  cv::Mat cells;
  cv::resize(detail, cells, contrast_cells, 0, 0, cv::INTER_AREA);
  cells /= level;
  return cells;
}

// Fine against coarse detail.
double sharpness(const cv::Mat& half_grey) {
  cv::Mat fine;
  cv::Mat coarse;
  cv::Mat grey;
  half_grey.convertTo(grey, CV_32F);
  cv::Mat soft;
  cv::GaussianBlur(grey, soft, {}, 1.0);
  cv::absdiff(grey, soft, fine);
  cv::GaussianBlur(grey, grey, {}, 4.0);
  cv::absdiff(soft, grey, coarse);
  // Of fine to coarse detail: the light's strength falls out. The strongest edges speak for all.
  const auto strong = [](const cv::Mat& m) {
    cv::Mat cells;
    cv::resize(m, cells, {32, 24}, 0, 0, cv::INTER_AREA);
    std::vector<float> all(cells.begin<float>(), cells.end<float>());
    const auto at = all.begin() + static_cast<std::ptrdiff_t>(all.size() * 8 / 10);
    std::nth_element(all.begin(), at, all.end());
    return static_cast<double>(*at);
  };
  return strong(fine) / std::max(strong(coarse), 1e-3);
}

// FNV-1a over the bytes: equal frames have equal numbers.
std::uint64_t fingerprint(const cv::Mat& picture) {
  std::uint64_t hash = 0xcbf29ce484222325U;
  const std::size_t row_bytes = static_cast<std::size_t>(picture.cols) * picture.elemSize();
  for (int y = 0; y < picture.rows; y += 4) {
    const unsigned char* row = picture.ptr(y);
    std::size_t i = 0;
    for (; i + 8 <= row_bytes; i += 8) {
      std::uint64_t word = 0;
      std::memcpy(&word, row + i, 8);
      hash = (hash ^ word) * 0x100000001b3U;
    }
  }
  return hash;
}

// Local contrast where the lens looks, as a share of what the reference shows there.
cv::Mat contrast_share(const Model& model, const cv::Mat& picture, const Alignment& alignment) {
  const cv::Mat seen = contrast_map(small_grey(picture));
  // Cells belong to the lens, so the reference's are moved to where the unit lies.
  cv::Matx23d m = alignment.to_picture;
  const double fx = static_cast<double>(seen.cols) / picture.cols;
  m(0, 2) *= fx;
  m(1, 2) *= fx;
  cv::Mat expected;
  cv::warpAffine(model.taught->contrast, expected, m, seen.size(), cv::INTER_LINEAR,
                 cv::BORDER_REPLICATE);
  cv::Mat share;
  cv::divide(seen, cv::max(expected, 1e-3F), share);
  share.setTo(1, expected < 0.5 * median(expected));  // nothing to lose where there is little
  return share;
}

}  // namespace

void learn_health(Taught& taught, const cv::Mat& reference) {
  const cv::Mat half = small_grey(reference);
  taught.median_brightness = median(half);
  taught.clipped_share = clipped_share(half);
  taught.sharpness = sharpness(half);
  taught.contrast = contrast_map(half);
}

std::vector<Finding> picture_health(const Model& model, const cv::Mat& picture,
                                    const Alignment& alignment) {
  std::vector<Finding> findings;
  if (picture.empty() || picture.depth() != CV_8U) return findings;
  const Taught& taught = *model.taught;
  const cv::Mat half = small_grey(picture);
  const double brightness = median(half);
  const double darkest = least_brightness_share * taught.median_brightness;
  if (brightness < darkest) findings.push_back({Ailment::too_dark, brightness, darkest});
  const double clipped = clipped_share(half);
  const double most = std::max(most_clipped_share, 2 * taught.clipped_share);
  if (clipped > most) findings.push_back({Ailment::too_bright, clipped, most});
  const double sharp = sharpness(half) / std::max(taught.sharpness, 1e-6);
  if (sharp < least_sharpness_share)
    findings.push_back({Ailment::blurred, sharp, least_sharpness_share});
  if (!alignment.found)
    findings.push_back({Ailment::no_unit, alignment.inlier_share, least_inlier_share});
  return findings;
}

std::vector<Finding> HealthWatch::see_frame(const cv::Mat& picture) {
  if (picture.empty()) return {};
  const std::uint64_t now = fingerprint(picture);
  equal_frames_ = now == last_frame_ ? equal_frames_ + 1 : 1;
  last_frame_ = now;
  if (equal_frames_ <= most_equal_frames) return {};
  return {{Ailment::frozen, static_cast<double>(equal_frames_), most_equal_frames}};
}

std::vector<Finding> HealthWatch::see_unit(const Model& model, const cv::Mat& picture,
                                           const Alignment& alignment) {
  std::vector<Finding> findings;
  if (!alignment.found || picture.empty()) return findings;
  poses_.push_back(alignment.to_picture);
  contrast_.push_back(contrast_share(model, picture, alignment));
  if (poses_.size() > units_watched) {
    poses_.pop_front();
    contrast_.pop_front();
  }
  if (poses_.size() < units_watched) return findings;
  // The unit's play averages out over units; a moved camera does not.
  cv::Point2d mean;
  const cv::Point2d middle(model.picture_px.width / 2.0, model.picture_px.height / 2.0);
  for (const cv::Matx23d& m : poses_) {
    const cv::Point2d at(m(0, 0) * middle.x + m(0, 1) * middle.y + m(0, 2),
                         m(1, 0) * middle.x + m(1, 1) * middle.y + m(1, 2));
    mean += (at - middle) * (1.0 / static_cast<double>(units_watched));
  }
  if (cv::norm(mean) > most_offset_px)
    findings.push_back({Ailment::camera_moved, cv::norm(mean), most_offset_px});
  cv::Mat best = contrast_.front().clone();  // dirt hides detail on every unit
  for (const cv::Mat& one : contrast_) best = cv::max(best, one);
  const double dirty = static_cast<double>(cv::countNonZero(best < dirty_contrast)) /
                       static_cast<double>(best.total());
  if (dirty > most_dirty_share) findings.push_back({Ailment::lens_dirty, dirty, most_dirty_share});
  return findings;
}

const char* name_of(Ailment ailment) {
  switch (ailment) {
    case Ailment::too_dark:
      return "too_dark";
    case Ailment::too_bright:
      return "too_bright";
    case Ailment::blurred:
      return "blurred";
    case Ailment::no_unit:
      return "no_unit";
    case Ailment::camera_moved:
      return "camera_moved";
    case Ailment::lens_dirty:
      return "lens_dirty";
    case Ailment::frozen:
      return "frozen";
  }
  return "no_unit";
}

}  // namespace lastlook::vision
