// SPDX-License-Identifier: Apache-2.0
// Where the keyboard is: one of the targets that were drawn last, or none. Pure.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "kiosk/screens/touch.h"

namespace lastlook::screens {

// Keys that no scanner types: the arrows and Home move the focus, `touch` touches what it is on,
// two answer the step of a look without it, and one calls help from any screen.
enum class Key { up, down, left, right, first, touch, conforming, nonconforming, help };

inline bool moves(Key key) {
  return key <= Key::first;
}

class Focus {
 public:
  // What the last frame showed. A focus on what is not there any more is gone.
  void shown(const std::vector<Target>& targets);
  // Moves the focus, or says which of the targets shown the key touches; empty: none.
  std::string pressed(Key key);
  // A finger was put down, or another screen has come.
  void forget();
  const std::string& key() const { return key_; }

 private:
  const Target* find(std::string_view key) const;
  void move(Key direction);

  std::vector<Target> shown_;  // those that a key can touch
  std::string key_;
};

}  // namespace lastlook::screens
