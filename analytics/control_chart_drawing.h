// SPDX-License-Identifier: Apache-2.0
// The drawing of an attribute chart: points over time, limits as steps, the reason beside each
// point that signals, phases with their names, excluded points hollow.
#pragma once

#include "analytics/chart_layout.h"
#include "analytics/control_chart.h"

namespace lastlook::analytics {

struct ControlChartOptions {
  ChartFrame frame;
};

// Text never overlaps: names of samples are thinned out, a reason that continues at the next points
// is written once, and reasons for which no free place is left are counted in the footnote.
Chart control_chart_drawing(const AttributeChart& chart, const ControlChartOptions& options,
                            const TextMeasure& measure);

}  // namespace lastlook::analytics
