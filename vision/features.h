// SPDX-License-Identifier: Apache-2.0
// A patch as numbers that change with the part and little with the light: for each cell the
// directions of its edges (after Dalal and Triggs, CVPR 2005: histograms of gradient directions,
// normalised over neighbouring cells), its colour and its relative brightness.
#pragma once

#include <opencv2/core.hpp>

namespace lastlook::vision {

constexpr int cell_side = 8;   // patch pixels
constexpr int directions = 8;  // of edges, without sign: 0..180 degrees
// Per cell: directions, edge strength, two of colour, one of brightness.
constexpr int cell_values = directions + 4;

// patch: 32-bit float BGR, sides multiples of cell_side. One row of 32-bit floats, cell by cell;
// always finite.
cv::Mat describe(const cv::Mat& patch);

}  // namespace lastlook::vision
