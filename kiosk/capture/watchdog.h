// SPDX-License-Identifier: Apache-2.0
// What state a camera is in, from what happened when. Pure: every call says what time it is.
#pragma once

#include <cstdint>
#include <random>

#include "kiosk/capture/camera.h"

namespace lastlook::capture {

// How long to wait before the next try: doubled for each failure in a row, less up to a half by
// chance, so that stations that lost one hub or one switch don't all come back in step.
class BackOff {
 public:
  BackOff(std::chrono::milliseconds first, std::chrono::milliseconds longest, std::uint64_t seed);
  std::chrono::milliseconds next();
  void reset();

 private:
  const std::chrono::milliseconds first_, longest_;
  std::chrono::milliseconds whole_;
  std::mt19937_64 random_;
};

// Equal for equal pictures. Reads every eighth row only: the noise of a live sensor alone changes
// those from frame to frame.
std::uint64_t fingerprint(const cv::Mat& picture);

class Watchdog {
 public:
  explicit Watchdog(const CameraOptions& options);

  void opened(const Opened& opened, std::int64_t now_us);
  // False: it must not be shown (its size is wrong).
  bool frame(cv::Size size, std::uint64_t print, std::int64_t now_us);
  // What follows is to wait for the returned time and to open it again.
  std::chrono::milliseconds failed_to_open(const Error& error, std::int64_t now_us);
  // False: try another take(). True: close it, it has failed as failed_to_open() says.
  bool failed_to_take(const Error& error, std::int64_t now_us);
  void replaced_unseen() { ++status_.dropped; }

  CameraStatus status(std::int64_t now_us) const;
  // How long status() stays what it is if nothing happens.
  std::chrono::milliseconds status_holds_for(std::int64_t now_us) const;

 private:
  const CameraOptions options_;
  BackOff back_off_;
  CameraStatus status_;           // as the last happening left it; a stall is seen when asked
  std::int64_t frame_us_ = 0;     // of the newest frame
  std::int64_t alive_us_ = 0;     // of the newest frame or opening
  std::int64_t retry_at_us_ = 0;  // while gone or refused
  std::uint64_t last_print_ = 0;
  int failures_ = 0;  // of take(), in a row
};

}  // namespace lastlook::capture
