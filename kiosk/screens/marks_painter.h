// SPDX-License-Identifier: Apache-2.0
// Draws a chart's marks on the screen, in the theme's colours. Thin: the layout was made elsewhere.
#pragma once

#include "analytics/marks.h"
#include "kiosk/screens/canvas.h"

namespace lastlook::screens {

class FontMeasure final : public analytics::TextMeasure {
 public:
  explicit FontMeasure(const Fonts& fonts) : fonts_(fonts) {}
  double width(std::string_view text, double size, bool bold) const override;

 private:
  Fonts fonts_;
};

// The chart's upper left corner comes to `at`, one of its pixels is one of the screen's.
void paint(Canvas& canvas, const analytics::Chart& chart, Spot at);

}  // namespace lastlook::screens
