// SPDX-License-Identifier: Apache-2.0
// A tag scanner is a keyboard that types fast and ends with Enter. Pure.
#pragma once

#include <chrono>
#include <cstdint>
#include <optional>
#include <string>

namespace lastlook::app {

// Characters with their times in, codes out. A code is what came in one burst: no pause between
// two of its characters, nor before its Enter, is longer than longest_pause. What is typed slower,
// or is shorter than two characters, is no scan; Enter alone never means anything.
class ScannerReader {
 public:
  using Time = std::chrono::milliseconds;
  static constexpr Time longest_pause{150};
  static constexpr std::size_t longest_code = 200;

  void character(char32_t c, Time at);
  // Enter or keypad Enter: the code, if it ends one.
  std::optional<std::string> enter(Time at);

 private:
  std::string code_;  // UTF-8
  std::optional<Time> last_;
};

}  // namespace lastlook::app
