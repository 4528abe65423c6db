// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "kiosk/screens/pager.h"
#include "kiosk/screens/screen.h"

namespace lastlook::screens {

// The units behind a bar of the Pareto.
class ReviewBehindScreen final : public Screen {
 public:
  void update(const Facts& facts) override;
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;

 private:
  void draw_unit(Canvas& canvas, const Facts& facts, const UnitBehind& unit, const Rect& cell,
                 Requests& out);

  std::string kind_;
  int asked_ = 0;
  Pager pager_;
};

}  // namespace lastlook::screens
