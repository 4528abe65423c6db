// SPDX-License-Identifier: Apache-2.0
// Escapes over time: of each period the share of accepted units that the second look rejected, with
// exact limits as a thin line, and under all of them what the looks so far prove together: the
// running share and the rate that it stays below.
#pragma once

#include "analytics/chart_layout.h"
#include "analytics/second_look.h"

namespace lastlook::analytics {

// Text never overlaps: names of periods, with "n of N" under each, are thinned out.
Chart escape_chart(const std::vector<RunningEscapes>& periods, const ChartFrame& frame,
                   const TextMeasure& measure);

}  // namespace lastlook::analytics
