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

// patch: 32-bit float BGR, sides multiples of cell_side. own: 8-bit, a value for each cell; where
// it is 0 the cell says nothing (all its numbers 0) and has no part in what others are compared
// with. One row of 32-bit floats, cell by cell; always finite.
cv::Mat describe(const cv::Mat& patch, const cv::Mat& own);

}  // namespace lastlook::vision
