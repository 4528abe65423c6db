// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "kiosk/screens/pager.h"
#include "kiosk/screens/screen.h"

namespace lastlook::screens {

// Which permissions there are at the station, with what is used of each and until when.
class ReviewConcessionsScreen final : public Screen {
 public:
  void enter() override;
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;

 private:
  void draw_one(Canvas& canvas, const Facts& facts, const domain::Concession& one,
                const Rect& cell);

  Pager pager_;
};

}  // namespace lastlook::screens
