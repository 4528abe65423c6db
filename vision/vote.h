// SPDX-License-Identifier: Apache-2.0
// Where the unit lies when its point features do not say, as under a light that was never shown:
// all anchors vote over turns, scales and shifts (a generalised Hough transform: Ballard, Pattern
// Recognition 13, 1981). Each looks faint on its own; together they agree at one place only.
#pragma once

#include <opencv2/core.hpp>
#include <optional>

#include "vision/align.h"

namespace lastlook::vision {

// The best of all places within 9 degrees, 7 % of size and 6 % of the picture's width, as reference
// -> picture, near enough for a search of six working pixels. It is a guess: whether the unit lies
// there, the anchors must show. Nothing where the pictures are too large for it to be quick.
// half: grey, half of the reference's size.
std::optional<cv::Matx23d> vote(const AlignmentReference& reference, const cv::Mat& half);

}  // namespace lastlook::vision
