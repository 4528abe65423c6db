// SPDX-License-Identifier: Apache-2.0
#include "kiosk/capture/pixels.h"

#include <fmt/core.h>

#include <algorithm>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>
#include <opencv2/videoio.hpp>

namespace lastlook::capture {
namespace {

bool is_format(int pixel_format, const char (&name)[5]) {
  return pixel_format == cv::VideoWriter::fourcc(name[0], name[1], name[2], name[3]);
}

cv::Mat converted(const cv::Mat& frame, int pixel_format) {
  cv::Mat bgr;
  switch (frame.type()) {
    case CV_8UC3:
      if (!is_format(pixel_format, "RGB3")) return frame;
      cv::cvtColor(frame, bgr, cv::COLOR_RGB2BGR);
      return bgr;
    case CV_8UC2:
      cv::cvtColor(
          frame, bgr,
          is_format(pixel_format, "UYVY") ? cv::COLOR_YUV2BGR_UYVY : cv::COLOR_YUV2BGR_YUY2);
      return bgr;
    case CV_8UC1:
      if (frame.rows == 1) return cv::imdecode(frame, cv::IMREAD_COLOR);
      cv::cvtColor(frame, bgr, cv::COLOR_GRAY2BGR);
      return bgr;
    default:
      return {};
  }
}

}  // namespace

Result<cv::Mat> to_bgr(const cv::Mat& frame, int pixel_format) {
  cv::Mat bgr;
  try {
    if (!frame.empty()) bgr = converted(frame, pixel_format);
  } catch (const cv::Exception&) {
    bgr.release();  // cut short; the sentence below says so
  }
  if (!bgr.empty()) return bgr;
  return fail(Category::bad_input,
              fmt::format("expected a picture, the camera sent {} x {} elements of {} bytes",
                          frame.cols, frame.rows, frame.empty() ? 0 : frame.elemSize()));
}

double mean_brightness(const cv::Mat& bgr) {
  const cv::Scalar mean = cv::mean(bgr);
  return (mean[0] + mean[1] + mean[2]) / 3;
}

double blue_to_red(const cv::Mat& bgr) {
  const cv::Scalar mean = cv::mean(bgr);
  return mean[0] / std::max(mean[2], 1.0);
}

}  // namespace lastlook::capture
