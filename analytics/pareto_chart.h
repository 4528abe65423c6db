// SPDX-License-Identifier: Apache-2.0
// The Pareto as horizontal bars from the largest down. At each bar: the count, its percent and what
// it makes together with those above it. The few are dark, the many light, the rest pale and last.
#pragma once

#include "analytics/chart_layout.h"
#include "analytics/pareto.h"

namespace lastlook::analytics {

struct ParetoChartOptions {
  ChartFrame frame;
  std::string counted = "findings";  // what the counts are of: findings or units
};

// Kinds that do not fit the height are gathered in a last bar "all the rest (7 kinds)". Text is cut
// with "…" and never overlaps; percents are left out before names where the width is small.
// An empty table gives a chart that says so.
Chart pareto_chart(const ParetoTable& table, const ParetoChartOptions& options,
                   const TextMeasure& measure);

}  // namespace lastlook::analytics
