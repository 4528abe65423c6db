// SPDX-License-Identifier: Apache-2.0
// Keys that a person presses, beside a scanner that types into the same window. Pure.
#pragma once

#include <chrono>
#include <deque>
#include <optional>

#include "kiosk/app/scanner_reader.h"
#include "kiosk/screens/focus.h"

namespace lastlook::app {

// Some scanners send a code's control characters as function keys, so a key that touches something
// counts only where nothing else is typed for as long before and after it as a burst can pause; it
// is kept back that long. One that comes again sooner than a finger may is a keypad that repeats by
// itself, and touches nothing more until it has rested.
class KeyReader {
 public:
  using Time = std::chrono::milliseconds;

  // A person's key went down. Never called for one that is held.
  void pressed(screens::Key key, Time at);
  // Any other key.
  void typed(Time at);
  // The next that counts by now; one a frame.
  std::optional<screens::Key> next(Time now);
  // When there will be one.
  std::optional<Time> next_at() const;

 private:
  bool in_burst(Time at) const { return typed_ && at - *typed_ <= ScannerReader::longest_pause; }

  struct Press {
    screens::Key key;
    Time at;
  };
  std::deque<Press> moves_;
  std::optional<Press> kept_;  // touches when it was quiet after it
  std::optional<Press> last_;  // that would have touched
  std::optional<Time> typed_;
};

}  // namespace lastlook::app
