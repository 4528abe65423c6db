// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "kiosk/screens/pager.h"
#include "kiosk/screens/screen.h"

namespace lastlook::screens {

// The shifts that can be reviewed, the newest first.
class ReviewShiftsScreen final : public Screen {
 public:
  void enter() override { pager_.reset(); }
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;

 private:
  void draw_shift(Canvas& canvas, const Facts& facts, const ShiftOnFile& shift, Rect cell,
                  Requests& out);

  Pager pager_;
};

}  // namespace lastlook::screens
