// SPDX-License-Identifier: Apache-2.0
// The few things asked of a camera's driver. What it promises is not believed: sizes, colours and
// brightness are measured on its frames.
#pragma once

#include <chrono>
#include <filesystem>
#include <memory>
#include <opencv2/core.hpp>
#include <optional>

#include "analytics/result.h"

namespace lastlook::capture {

enum class Knob {
  pixel_format,  // four characters as an int, cv::VideoWriter::fourcc()
  width_px,
  height_px,
  auto_exposure,  // V4L2: 1 manual, 3 automatic; other drivers count otherwise
  exposure,
  auto_white_balance,
  white_balance,  // kelvin
};

// One thread at a time.
class Driver {
 public:
  virtual ~Driver() = default;
  // not_found, busy, refused.
  virtual Status open(const std::filesystem::path& path) = 0;
  virtual bool set(Knob knob, double value) = 0;  // false: the driver says no
  virtual std::optional<double> get(Knob knob) = 0;
  // Whether a frame is ready within this time. not_found: unplugged.
  virtual Result<bool> wait(std::chrono::milliseconds longest) = 0;
  // A frame with pixels of its own: BGR, or as the device gave it (see pixels.h). Empty or short
  // ones are possible. not_found: unplugged; io.
  virtual Result<cv::Mat> read() = 0;
  virtual void close() = 0;
};

// V4L2 by OpenCV.
std::unique_ptr<Driver> system_driver();

}  // namespace lastlook::capture
