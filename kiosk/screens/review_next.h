// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "kiosk/screens/keypad.h"
#include "kiosk/screens/screen.h"

namespace lastlook::screens {

// "What must the next shift know?": a sentence each, a note of one's own, and the report
// of the shift in one touch.
class ReviewNextScreen final : public Screen {
 public:
  void enter() override { keypad_.close(); }
  void update(const Facts& facts) override;
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;

 private:
  void draw_sentences(Canvas& canvas, const Facts& facts, Rect card);
  void draw_zone(Canvas& canvas, const Facts& facts, Rect zone, Requests& out);

  std::vector<std::string> sentences_;
  Keypad keypad_;
};

}  // namespace lastlook::screens
