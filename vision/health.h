// SPDX-License-Identifier: Apache-2.0
// Is this picture, and are the last pictures, fit for an opinion at all? Asked before judge().
#pragma once

#include <cstdint>
#include <deque>
#include <opencv2/core.hpp>
#include <vector>

#include "vision/judge.h"
#include "vision/model.h"

namespace lastlook::vision {

const cv::Size contrast_cells(40, 30);  // of the local contrast that a lens can lose

enum class Ailment {
  too_dark,      // value: median brightness 0..255, limit: least that was taught
  too_bright,    // value: share of clipped pixels, limit: most allowed
  blurred,       // value: sharpness as a share of the reference's, limit: least allowed
  no_unit,       // value: inlier share of the alignment, limit: least allowed
  camera_moved,  // value: persistent offset over units in px, limit: most allowed
  lens_dirty,    // value: share of places that lost contrast on every unit, limit: most allowed
  frozen,        // value: equal frames in a row, limit: most allowed
};

struct Finding {
  Ailment ailment = Ailment::too_dark;
  double value = 0;
  double limit = 0;
};

// One picture on its own: too_dark, too_bright, blurred, no_unit. Empty: fit.
std::vector<Finding> picture_health(const Model& model, const cv::Mat& picture,
                                    const Alignment& alignment);

// What only a run of pictures can show: camera_moved, lens_dirty, frozen.
class HealthWatch {
 public:
  // Call once for each new frame. frozen.
  std::vector<Finding> see_frame(const cv::Mat& picture);
  // Call once for each unit with the frame its opinion was taken from. camera_moved, lens_dirty.
  std::vector<Finding> see_unit(const Model& model, const cv::Mat& picture,
                                const Alignment& alignment);

 private:
  std::uint64_t last_frame_ = 0;
  int equal_frames_ = 0;
  std::deque<cv::Matx23d> poses_;
  std::deque<cv::Mat> contrast_;  // local contrast of the last units against the reference
};

// Takes from the reference, an 8-bit picture, what health compares with.
void learn_health(Taught& taught, const cv::Mat& reference);

const char* name_of(Ailment ailment);

}  // namespace lastlook::vision
