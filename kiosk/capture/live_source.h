// SPDX-License-Identifier: Apache-2.0
// A camera behind a driver: asks for format and size, lets it warm up, holds exposure and white
// balance, and measures on the frames whether that is so.
#pragma once

#include <atomic>
#include <chrono>
#include <filesystem>
#include <memory>

#include "kiosk/capture/driver.h"
#include "kiosk/capture/source.h"

namespace lastlook::capture {

struct LiveOptions {
  cv::Size size_px{1280, 960};
  int warm_up_frames = 20;  // dropped after opening: exposure has not settled yet
  int settle_frames = 5;    // dropped after a knob was turned, before a measurement
  std::chrono::milliseconds frame_within{1000};  // or take() says io
};

// Frames of another size than asked for are handed on: the camera's watchdog names both sizes.
class LiveSource final : public Source {
 public:
  LiveSource(std::unique_ptr<Driver> driver, std::filesystem::path path, LiveOptions options = {});

  Result<Opened> open() override;
  Result<Picture> take() override;
  void close() override;
  void interrupt() override;

 private:
  struct Hold;
  Status ask_for_format();
  Lock hold(const Hold& what);
  std::optional<double> measured(double (*measure)(const cv::Mat&));
  Result<cv::Mat> next_frame();

  const std::unique_ptr<Driver> driver_;
  const std::filesystem::path path_;
  const LiveOptions options_;
  int pixel_format_ = 0;
  std::atomic<bool> interrupted_ = false;
};

}  // namespace lastlook::capture
