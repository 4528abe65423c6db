// SPDX-License-Identifier: Apache-2.0
// Faults made up from a picture of a right part, for teaching where real ones are rare: the part
// moved, tilted, of another colour, smooth, gone, or something else in its place.
#pragma once

#include <opencv2/core.hpp>

namespace lastlook::vision {

enum class Fault { shifted, tilted, turned, recoloured, smoothed, half_gone, gone, foreign };
constexpr int fault_kinds = 8;

// patch: 32-bit float BGR; inner: the component's box in it; foreign: any other patch. The result
// has the size of patch.
cv::Mat make_fault(const cv::Mat& patch, const cv::Rect2d& inner, Fault fault,
                   const cv::Mat& foreign, cv::RNG& rng);

}  // namespace lastlook::vision
