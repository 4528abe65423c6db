// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "analytics/pareto_chart.h"
#include "kiosk/screens/screen.h"

namespace lastlook::screens {

// "What went wrong most?": the Pareto of the shift. A bar leads to the units behind it, the last
// one to the kinds that have none yet.
class ReviewScreen final : public Screen {
 public:
  void update(const Facts& facts) override;
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;

 private:
  void draw_chart(Canvas& canvas, const Facts& facts, const Rect& card, Requests& out);
  void draw_bar(Canvas& canvas, std::size_t index, const Rect& row, Requests& out);

  int asked_ = 0;
  std::size_t skip_ = 0;  // kinds on the pages before
  // Laid out once for an area, not in every frame.
  analytics::ParetoDrawing drawing_;
  float chart_w_ = 0, chart_h_ = 0;
};

}  // namespace lastlook::screens
