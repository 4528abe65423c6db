// SPDX-License-Identifier: Apache-2.0
// What agreement studies came to: one grid of inspectors against inspectors, and a sentence for
// each.
#pragma once

#include <string>

#include "analytics/marks.h"
#include "kiosk/screens/pager.h"
#include "kiosk/screens/screen.h"

namespace lastlook::screens {

class StudyResultsScreen final : public Screen {
 public:
  void enter() override { pager_.reset(); }
  void update(const Facts&) override { chart_w_ = 0; }
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;

 private:
  void draw_grid(Canvas& canvas, const Facts& facts, const StudyResult& result, Rect area);

  Pager pager_;
  analytics::Chart chart_;
  float chart_w_ = 0, chart_h_ = 0;  // the room that it was laid out for; 0: not yet
};

}  // namespace lastlook::screens
