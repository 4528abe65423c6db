// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>

#include "kiosk/screens/screen.h"

namespace lastlook::screens {

// What was decided about the unit, and what to do with it. Stays until the next scan or a touch.
class ClosedScreen final : public Screen {
 public:
  void enter() override;
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;

 private:
  void draw_hands(Canvas& canvas, const Facts& facts, Rect zone, Requests& out);
  void draw_modal(Canvas& canvas, const Facts& facts, Requests& out);

  bool correcting_ = false;
  std::optional<domain::Disposition> corrected_to_;
};

}  // namespace lastlook::screens
