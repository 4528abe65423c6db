// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "kiosk/screens/keypad.h"
#include "kiosk/screens/pager.h"
#include "kiosk/screens/screen.h"

namespace lastlook::screens {

// Between units: what the camera sees, and "scan the tag".
class WaitingScreen final : public Screen {
 public:
  void enter() override;
  void leave() override { keypad_.close(); }
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;

 private:
  void draw_study(Canvas& canvas, const Facts& facts, const Rect& row, Requests& out);
  void draw_ways_in(Canvas& canvas, const Facts& facts, Rect zone, Requests& out);
  void draw_ways_out(Canvas& canvas, const Facts& facts, const Rect& row, Requests& out);
  void draw_parked(Canvas& canvas, const Facts& facts, const Rect& area, Requests& out);
  void draw_modal(Canvas& canvas, const Facts& facts, Requests& out);

  Keypad keypad_;
  bool asking_no_tag_ = false;
  bool asking_leave_ = false;
  Pager pager_;
};

}  // namespace lastlook::screens
