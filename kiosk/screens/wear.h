// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "analytics/marks.h"
#include "kiosk/screens/pager.h"
#include "kiosk/screens/screen.h"

namespace lastlook::screens {

// How surely each challenge part was judged right over the weeks, one part at a time.
class WearScreen final : public Screen {
 public:
  void enter() override { pager_.reset(); }
  void update(const Facts&) override { chart_w_ = 0; }
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;

 private:
  void draw_chart(Canvas& canvas, const Facts& facts, Rect area);

  Pager pager_;
  analytics::Chart chart_;
  float chart_w_ = 0, chart_h_ = 0;  // what it was laid out for
};

}  // namespace lastlook::screens
