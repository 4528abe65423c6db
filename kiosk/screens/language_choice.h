// SPDX-License-Identifier: Apache-2.0
// The other languages, each by its own name on one button; touching that asks for one of them, over
// the shaded screen.
#pragma once

#include "kiosk/screens/canvas.h"
#include "kiosk/screens/facts.h"
#include "kiosk/screens/request.h"

namespace lastlook::screens {

class LanguageChoice {
 public:
  void leave() { asked_ = false; }
  bool is_asked() const { return asked_; }
  void offer(Canvas& canvas, const Facts& facts, const Rect& place);
  // Everything drawn before it in this frame must have been drawn inert.
  void draw(Canvas& canvas, const Facts& facts, Requests& out);

 private:
  bool asked_ = false;
};

}  // namespace lastlook::screens
