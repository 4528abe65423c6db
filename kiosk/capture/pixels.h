// SPDX-License-Identifier: Apache-2.0
// Frames as devices give them, to 8-bit BGR.
#pragma once

#include <opencv2/core.hpp>

#include "analytics/result.h"

namespace lastlook::capture {

// pixel_format: the four characters the device says it sends, as an int; 0: it does not say.
//   three channels            BGR, or RGB where the format is RGB3
//   two channels              YUYV, or UYVY where the format says so
//   one channel, one row      an encoded picture (MJPG)
//   one channel, many rows    grey
// bad_input: empty, short, or none of these; says the size that came.
Result<cv::Mat> to_bgr(const cv::Mat& frame, int pixel_format);

double mean_brightness(const cv::Mat& bgr);  // 0..255
double blue_to_red(const cv::Mat& bgr);      // ratio of the means; 1 for grey

}  // namespace lastlook::capture
