// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "kiosk/screens/pager.h"
#include "kiosk/screens/screen.h"

namespace lastlook::screens {

// "What is waiting?": each unit that nobody has decided about, the oldest first.
class ReviewWaitingScreen final : public Screen {
 public:
  void update(const Facts& facts) override;
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;

 private:
  void draw_unit(Canvas& canvas, const Facts& facts, const records::WaitingUnit& unit, Rect cell,
                 Requests& out);

  int asked_ = 0;
  std::string answer_;
  Pager pager_;
};

}  // namespace lastlook::screens
