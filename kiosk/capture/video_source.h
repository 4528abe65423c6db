// SPDX-License-Identifier: Apache-2.0
// A video file played once at its own pace; its last frame stays.
#pragma once

#include <chrono>
#include <condition_variable>
#include <filesystem>
#include <mutex>
#include <opencv2/videoio.hpp>

#include "kiosk/capture/source.h"

namespace lastlook::capture {

class VideoSource final : public Source {
 public:
  explicit VideoSource(std::filesystem::path path);

  Result<Opened> open() override;
  Result<Picture> take() override;
  void close() override;
  void interrupt() override;

 private:
  bool wait_until(std::chrono::steady_clock::time_point due);  // false: interrupted

  const std::filesystem::path path_;
  cv::VideoCapture file_;
  std::chrono::steady_clock::duration pace_{};
  std::chrono::steady_clock::time_point due_;
  std::mutex mutex_;
  std::condition_variable changed_;
  bool interrupted_ = false;
};

}  // namespace lastlook::capture
