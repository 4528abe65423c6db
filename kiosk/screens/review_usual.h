// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "analytics/marks.h"
#include "kiosk/screens/screen.h"

namespace lastlook::screens {

// "Is it worse than usual?": the shares of this shift, the last and four weeks, the shifts as a
// chart; closer, what really changed.
class ReviewUsualScreen final : public Screen {
 public:
  void update(const Facts& facts) override;
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;

 private:
  // One that changed, in words.
  struct Row {
    std::string what, counts;
    bool rose = false;
  };

  void draw_shifts(Canvas& canvas, const Facts& facts, Rect area);
  void draw_changes(Canvas& canvas, const Facts& facts, Rect area);
  void draw_rates(Canvas& canvas, const Facts& facts, Rect zone);
  void draw_rate(Canvas& canvas, const Facts& facts, const RightAtFirst& right, Rect row);
  void draw_row(Canvas& canvas, const Row& row, Rect area);
  void draw_chart(Canvas& canvas, const Facts& facts, const Rect& area);

  int asked_ = 0;
  bool closer_ = false;
  std::string answer_, changes_answer_, wanders_;
  std::vector<Row> rows_;
  // Laid out once for an area, not in every frame.
  analytics::Chart chart_;
  bool chart_closer_ = false;
  float chart_w_ = 0, chart_h_ = 0;
};

}  // namespace lastlook::screens
