// SPDX-License-Identifier: Apache-2.0
// What was drawn, as one JSON line a frame, for tests that drive the real window and for measuring
// the time from touch to pixel: the screen, each target with its rectangle, where the focus is,
// what did not fit. Written to the file that the environment variable LASTLOOK_TRACE names; without
// it nothing is.
#pragma once

#include <chrono>
#include <fstream>
#include <optional>
#include <string_view>

#include "kiosk/screens/canvas.h"

namespace lastlook::app {

class Trace {
 public:
  Trace();  // opens the file, if one is named
  // answers: when the finger was lifted whose touch this frame is the first to answer; now its
  // pixels are out.
  void frame(std::string_view screen, const screens::Canvas& canvas,
             std::optional<std::chrono::steady_clock::time_point> answers, std::string_view focus);

 private:
  std::ofstream out_;
  long frames_ = 0;
};

}  // namespace lastlook::app
