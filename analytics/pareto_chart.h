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
  double least_row =
      0;  // height of a row at the least, where a finger is to hit it; 0: as the text
  std::size_t skip = 0;  // kinds from the top that have been drawn elsewhere; fewer than there are
};

// Kinds that do not fit the height are gathered in a last bar "all the rest (7 kinds)". Text is cut
// with "…" and never overlaps; percents are left out before names where the width is small.
// An empty table gives a chart that says so.
Chart pareto_chart(const ParetoTable& table, const ParetoChartOptions& options,
                   const TextMeasure& measure);

// The same, and where each kind lies in it: the names and the bars that can be touched.
struct ParetoDrawing {
  Chart chart;
  std::vector<ParetoRow> rows;  // that are drawn; the last may be "all the rest (7 kinds)"
  std::vector<Box> boxes;       // of these, over the chart's whole width
  std::size_t gathered = 0;     // kinds in the last row that have no bar of their own; 0: none
};
ParetoDrawing pareto_drawing(const ParetoTable& table, const ParetoChartOptions& options,
                             const TextMeasure& measure);

}  // namespace lastlook::analytics
