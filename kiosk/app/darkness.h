// SPDX-License-Identifier: Apache-2.0
// A screen that nobody touches goes dark, and the touch or scan that lights it up again does
// nothing else. Pure.
#pragma once

#include <chrono>
#include <limits>

namespace lastlook::app {

class Darkness {
 public:
  using Time = std::chrono::milliseconds;
  explicit Darkness(Time after = Time{0}) : after_(after) {}  // 0: it never goes dark

  bool is_dark(Time now) const { return after_ > Time{0} && now - touched_ >= after_; }
  // A hand is there, or a scan. True where that only lights the screen up.
  bool woken(Time now) {
    const bool was_dark = is_dark(now);
    touched_ = now;
    return was_dark;
  }
  Time falls_at() const { return after_ > Time{0} ? touched_ + after_ : Time::max(); }

 private:
  Time after_;
  Time touched_{0};
};

}  // namespace lastlook::app
