// SPDX-License-Identifier: Apache-2.0
// A clock that a script moves, for history and for a shift that is played faster than it lasts.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <string>

#include "kiosk/domain/clock.h"

namespace lastlook::commands {

class ScriptedClock final : public domain::Clock {
 public:
  ScriptedClock(std::int64_t wall_us, int offset_min)
      : wall_us_(wall_us), offset_min_(offset_min) {}

  domain::Reading read() override { return {wall_us_, wall_us_ - epoch_us_, boot_, offset_min_}; }

  std::int64_t wall_us() const { return wall_us_; }
  int offset_min() const { return offset_min_; }
  void pass(double seconds) { wall_us_ += std::llround(std::max(seconds, 0.0) * pace_ * 1e6); }
  // How long a second lasts in pass(): below 1, much happens in little time.
  void set_pace(double pace) { pace_ = pace; }
  // Not backwards.
  void go_to(std::int64_t wall_us) { wall_us_ = std::max(wall_us_, wall_us); }

 private:
  static constexpr std::int64_t epoch_us_ = 1'577'836'800'000'000;  // 2020: keeps mono_us positive
  std::int64_t wall_us_;
  int offset_min_;
  double pace_ = 1.0;
  std::string boot_ = "scripted";
};

}  // namespace lastlook::commands
