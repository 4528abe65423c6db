// SPDX-License-Identifier: Apache-2.0
// Parts that are right at any turn: caps, screws with a cross slot. Found from the right ones, and
// then shown to the judge at turns that no picture had.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

namespace lastlook::vision {

// views: of right ones, as matching_view() gives them; box: the component's in them. Whether they
// fit each other clearly better when turned about the box's middle.
bool turns_freely(const std::vector<cv::Mat>& views, const cv::Rect2d& box);

// The view with the part turned as it stands in the template that it fits best at any turn.
// templates: cut along the box.
cv::Mat turned_upright(const cv::Mat& view, const cv::Rect2d& box,
                       const std::vector<cv::Mat>& templates);

// The disc within the box turned by deg, counter-clockwise; what is around stays. 32-bit float.
cv::Mat with_part_turned(const cv::Mat& patch, const cv::Rect2d& box, double deg);

}  // namespace lastlook::vision
