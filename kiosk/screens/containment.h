// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>

#include "kiosk/screens/pager.h"
#include "kiosk/screens/screen.h"

namespace lastlook::screens {

// The units that a failed proof puts in doubt, by serial.
class ContainmentScreen final : public Screen {
 public:
  void enter() override { pager_.reset(); }
  void update(const Facts& facts) override;
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;

 private:
  void draw_unit(Canvas& canvas, const Facts& facts, const records::ContainedUnit& unit,
                 const Rect& cell);

  Pager pager_;
  std::size_t relied_ = 0;
  std::size_t again_ = 0;
};

}  // namespace lastlook::screens
