// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "kiosk/screens/screen.h"

namespace lastlook::screens {

// A serial that was seen before: its history, and the question whether this is the same unit.
class ReturnedScreen final : public Screen {
 public:
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;

 private:
  void draw_history(Canvas& canvas, const Facts& facts, Rect area);
  void draw_past(Canvas& canvas, const Facts& facts, const domain::PastLook& past, Rect row);
};

}  // namespace lastlook::screens
