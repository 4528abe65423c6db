// SPDX-License-Identifier: Apache-2.0
// Normalised correlation of a small template over a small window: the same surface as
// cv::matchTemplate with TM_CCOEFF_NORMED, summed directly. For windows a few pixels larger than
// the template that is several times faster than going by way of a Fourier transform.
#pragma once

#include <opencv2/core.hpp>

namespace lastlook::vision {

// Zero mean, unit length: what correlate() takes. False: flat, correlates with nothing.
// counts: 32-bit float of the patch's size, 1 where a pixel counts and 0 where not; empty: all do.
bool make_unit(cv::Mat& patch, const cv::Mat& counts = {});

// window: 32-bit float, not smaller than the template. unit: as make_unit leaves it. surface:
// (window - unit + 1) in size, each value in [-1, 1]; 0 where the window is flat. counts: as
// make_unit took it.
void correlate(const cv::Mat& window, const cv::Mat& unit, cv::Mat& surface,
               const cv::Mat& counts = {});

// The highest value and where, to a fraction of a pixel by the quadratic through its neighbours;
// at an edge to the whole pixel.
struct Peak {
  double value = -1;
  cv::Point at;
  cv::Point2d fine;
  bool at_edge = true;
};
Peak find_peak(const cv::Mat& surface);

}  // namespace lastlook::vision
