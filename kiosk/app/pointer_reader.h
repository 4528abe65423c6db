// SPDX-License-Identifier: Apache-2.0
// The finger's comings and goings, one change a frame, so that a touch shorter than a frame is not
// lost. Pure.
#pragma once

#include <deque>

#include "kiosk/screens/touch.h"

namespace lastlook::app {

class PointerReader {
 public:
  void moved(screens::Spot at);
  void pressed(screens::Spot at);
  void released(screens::Spot at, std::chrono::steady_clock::time_point when);
  // What the next frame is to see.
  screens::Pointer next_frame();
  // Changes that frames have not seen yet.
  bool more() const { return !changes_.empty(); }

 private:
  struct Change {
    screens::Spot at;
    bool down;
    bool move = false;
    std::chrono::steady_clock::time_point when = {};
  };
  std::deque<Change> changes_;
  screens::Spot at_{-1, -1};
  bool down_ = false;
};

}  // namespace lastlook::app
