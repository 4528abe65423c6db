// SPDX-License-Identifier: Apache-2.0
// What a picture may suffer without its unit being any different: a small error of alignment, a
// shadow's edge, a fall-off of light, a smudge, blur, noise. Teaching looks at each picture
// through several of these.
#pragma once

#include <opencv2/core.hpp>

namespace lastlook::vision {

// A small error of place: up to shift_px and turn_deg about the middle of the region, in reference
// pixels; reference -> reference.
cv::Matx23d small_misalignment(cv::RNG& rng, const cv::Rect2d& region_px, double shift_px,
                               double turn_deg, double scale);
// patch: 32-bit float BGR, changed in place.
void disturb(cv::Mat& patch, cv::RNG& rng);

// Whether a part mirrors the lamps: some of it is as bright as the camera can tell. inner: its box.
bool shines(const cv::Mat& patch, const cv::Rect2d& inner);
// One highlight more within the box, as another lamp would make it.
void add_highlight(cv::Mat& patch, const cv::Rect2d& inner, cv::RNG& rng);

}  // namespace lastlook::vision
