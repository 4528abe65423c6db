// SPDX-License-Identifier: Apache-2.0
// Why an opinion is what it is, from the evidence behind it.
#pragma once

#include <opencv2/core.hpp>
#include <optional>

#include "vision/judge.h"
#include "vision/taught.h"

namespace lastlook::vision {

// What one component's judging had before it.
struct Sighted {
  cv::Mat patch;  // as cut_patch gives it
  cv::Mat row;    // describe()
  cv::Mat view;   // matching_view()
  Gains gains{1, 1, 1};
  double in_view_share = 1;  // of the component's box
  double picture_px_per_patch = 1;
  double turn_rad = 0;  // the unit's own turn in the picture, clockwise
};

// What keeps any opinion from being known, if something does: too dark, too bright, covered,
// outside the picture.
std::optional<Reason> unfit_reason(const TaughtComponent& taught, const Question& asked,
                                   const Sighted& sighted);
// What most speaks against 'yes'.
Reason reason_against(const TaughtComponent& taught, const Question& asked, const Answer& answer,
                      const Sighted& sighted);
// Where it differs from known 'yes' ones: 8-bit, the patch's size; empty where nothing does.
cv::Mat overlay_of(const TaughtComponent& taught, const Question& asked, const Sighted& sighted);

}  // namespace lastlook::vision
