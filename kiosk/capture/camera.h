// SPDX-License-Identifier: Apache-2.0
// A picture source on its own thread: the newest frame wins, nobody ever waits for it, and it says
// how it is.
#pragma once

#include <chrono>
#include <cstdint>
#include <functional>
#include <memory>
#include <opencv2/core.hpp>
#include <string>
#include <string_view>
#include <thread>

#include "kiosk/capture/source.h"
#include "kiosk/domain/clock.h"

namespace lastlook::capture {

// Never changes once made, so threads share it.
struct Frame {
  std::int64_t number = 0;    // from 1, counted on over re-openings
  std::int64_t taken_us = 0;  // forward clock (Reading::mono_us)
  cv::Mat picture;            // 8-bit BGR
  std::string name;           // of the file; empty from a camera
};
using FramePtr = std::shared_ptr<const Frame>;

enum class CameraState {
  starting,    // no frame yet
  running,     // frames come
  stalled,     // the newest frame is too old: frame_age
  frozen,      // the same picture again and again: equal_frames
  gone,        // not there, or it stopped giving frames: retry_in
  wrong_size,  // frames of got_px where opened.wanted_px was expected; they are not shown
  refused,     // there, but it does not do what is asked, or another program has it: retry_in
};
std::string_view to_word(CameraState state);  // "starting" "running" "stalled" …

struct CameraStatus {
  CameraState state = CameraState::starting;
  std::chrono::milliseconds frame_age{0};  // of the newest frame; 0 before the first
  std::chrono::milliseconds retry_in{0};   // gone, refused: until the next try to open it
  int equal_frames = 0;                    // equal ones in a row
  cv::Size got_px;           // of the newest frame, shown or not; cf. opened.wanted_px
  std::int64_t frames = 0;   // so far
  std::int64_t dropped = 0;  // replaced before anybody had looked at them
  std::int64_t damaged = 0;  // short or unreadable ones, left out
  std::int64_t openings = 0;
  Opened opened;       // what the last opening settled
  std::string detail;  // the driver's sentence about the last fault, for maintenance
};

struct CameraOptions {
  std::chrono::milliseconds stalled_after{2000};   // of a live source
  int frozen_after = 15;                           // equal frames in a row of a live source
  int failures_before_reopen = 3;                  // io errors in a row
  std::chrono::milliseconds first_retry{500};      // doubled for each further failed opening …
  std::chrono::milliseconds longest_retry{30000};  // … up to this, less a random part
  std::uint64_t seed = 1;                          // of the random part
  // How long the destructor waits for a blocked read before it leaves the thread to itself.
  std::chrono::milliseconds longest_stop{1000};
};

// Any thread may call it.
//
// Shutdown: the destructor interrupts the source and waits for the thread, at most longest_stop. A
// read that hangs in a driver cannot be ended from outside; the thread is then detached. It owns
// all that it touches (the source, this camera's inner state), calls no listener any more, and
// ends by itself when the read returns or with the process.
class Camera {
 public:
  // Starts the thread.
  Camera(std::shared_ptr<Source> source, domain::Clock& clock, CameraOptions options = {});
  ~Camera();
  Camera(const Camera&) = delete;
  Camera& operator=(const Camera&) = delete;

  // Called from the capture thread after each new frame and each change of state; it must return
  // soon (post to a queue, wake the loop). Replaces the one before: once listen() has returned,
  // that one is not called any more. Not to be called from within a listener.
  void listen(std::function<void()> listener);

  FramePtr latest() const;  // null before the first; never waits
  CameraStatus status() const;
  // How long nobody needs to ask for status() again unless the listener calls: a stall is not
  // announced, since the thread that would announce it is the one that hangs.
  std::chrono::milliseconds status_holds_for() const;

 private:
  struct Inside;
  std::shared_ptr<Inside> inside_;
  std::thread thread_;
};

}  // namespace lastlook::capture
