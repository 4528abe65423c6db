// SPDX-License-Identifier: Apache-2.0
// Paints marks on paper, as analytics/svg.h does in a page: the same inks, the same order.
#pragma once

#include "analytics/marks.h"
#include "kiosk/reports/type.h"

namespace lastlook::reports {

// The chart's upper left corner comes to (left, top), one of its pixels is `scale` points.
void paint(cairo_t* cairo, Type& type, const analytics::Chart& chart, double left, double top,
           double scale);

}  // namespace lastlook::reports
