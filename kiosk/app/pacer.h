// SPDX-License-Identifier: Apache-2.0
// When the next frame is drawn. Pure: three frames after every event, then asleep until something
// happens or the least of what the parts have asked for; never without a limit.
#pragma once

#include <chrono>

namespace lastlook::app {

class Pacer {
 public:
  using Time = std::chrono::milliseconds;
  static constexpr int frames_after_event = 3;
  static constexpr Time longest_wait{1000};  // a lost wake-up shows late, not never
  static constexpr Time preview_pause{100};  // the camera's picture at most ten times a second

  void event() { frames_left_ = frames_after_event; }
  // A new camera picture is there; it may be drawn no sooner than preview_pause after the last one.
  void preview(Time now);
  // A part wants a frame at this time (the clock's next minute, the camera's status).
  void wake_at(Time at);

  bool draws_now(Time now) const;
  Time wait(Time now) const;  // at least 0
  void drawn(Time now);

 private:
  int frames_left_ = frames_after_event;
  Time wake_{Time::max()};
  Time last_preview_{-preview_pause};
  bool preview_due_ = false;
};

}  // namespace lastlook::app
