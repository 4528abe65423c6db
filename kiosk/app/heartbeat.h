// SPDX-License-Identifier: Apache-2.0
// What systemd is told where it started the kiosk: that it is ready, that its loop still turns,
// that it ends. Where nobody listens nothing is said.
#pragma once

#include <chrono>

namespace lastlook::app {

class Heartbeat {
 public:
  using Time = std::chrono::milliseconds;
  Heartbeat();   // asks the environment whether beats are expected, and how often
  ~Heartbeat();  // it ends in order
  Heartbeat(const Heartbeat&) = delete;
  Heartbeat& operator=(const Heartbeat&) = delete;

  void ready();  // the first time only
  // Once in each turn of the window's loop and from nowhere else: a loop that hangs is silent.
  void beat(Time now);
  // How long the loop may sleep until the next beat is due: half of the time in which systemd
  // expects one.
  Time rests_for(Time now) const;

 private:
  Time every_{0};  // 0: none is expected
  Time next_{0};
  bool ready_ = false;
};

}  // namespace lastlook::app
