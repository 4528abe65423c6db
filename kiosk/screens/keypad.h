// SPDX-License-Identifier: Apache-2.0
// Keys on the screen for what must be typed now and then: modal, with a text of its own that it
// hands back, so that nothing shares the focus.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "kiosk/screens/canvas.h"
#include "kiosk/text/strings.h"

namespace lastlook::screens {

// Digits, letters and hyphen, what serials are made of; for words also space, marks and the letters
// that the language has besides (text "keypad.letters"); for a whole number digits alone, six at
// most and no zero before them.
class Keypad {
 public:
  enum class For { serial, words, number };
  void open(std::string title, For what = For::serial);
  void close() { open_ = false; }
  bool is_open() const { return open_; }
  // The text when it was confirmed (then it is closed), nothing otherwise.
  std::optional<std::string> draw(Canvas& canvas, const text::Strings& say);

 private:
  bool draw_text(Canvas& canvas, const text::Strings& say, Rect row);
  void draw_keys(Canvas& canvas, const text::Strings& say, const Rect& area);
  std::vector<std::string> keys(const text::Strings& say) const;

  bool open_ = false;
  For for_ = For::serial;
  std::string title_, text_;
};

// Ten digits for a PIN. Changes `digits`; true when confirmed, by the key that says `done`.
bool draw_pin_pad(Canvas& canvas, const std::string& done, const Rect& area, std::string& digits);

}  // namespace lastlook::screens
