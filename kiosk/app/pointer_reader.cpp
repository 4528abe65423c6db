// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/pointer_reader.h"

namespace lastlook::app {

void PointerReader::moved(screens::Spot at) {
  if (changes_.empty())
    at_ = at;
  else if (changes_.back().move)
    changes_.back().at = at;
  else
    changes_.push_back({at, changes_.back().down, true});
}

void PointerReader::pressed(screens::Spot at) {
  changes_.push_back({at, true});
}

void PointerReader::released(screens::Spot at, std::chrono::steady_clock::time_point when) {
  changes_.push_back({at, false, false, when});
}

screens::Pointer PointerReader::next_frame() {
  screens::Pointer pointer;
  if (!changes_.empty()) {
    const Change change = changes_.front();
    changes_.pop_front();
    at_ = change.at;
    pointer.pressed = change.down && !down_;
    pointer.released = !change.down && down_;
    pointer.lifted_at = change.when;
    down_ = change.down;
  }
  pointer.at = at_;
  pointer.down = down_;
  return pointer;
}

}  // namespace lastlook::app
