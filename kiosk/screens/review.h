// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "analytics/marks.h"
#include "kiosk/screens/screen.h"

namespace lastlook::screens {

// "What went wrong most?": the Pareto of the shift.
class ReviewScreen final : public Screen {
 public:
  void update(const Facts&) override { chart_w_ = 0; }
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;

 private:
  void draw_chart(Canvas& canvas, const Facts& facts, Rect area);

  // Laid out once for an area, not in every frame.
  analytics::Chart chart_;
  float chart_w_ = 0, chart_h_ = 0;
};

}  // namespace lastlook::screens
