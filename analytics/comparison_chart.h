// SPDX-License-Identifier: Apache-2.0
// What changed between two periods, a row a cell: the difference with its interval around no
// change, and both shares in words. Cells that changed stand first, with a diamond.
#pragma once

#include "analytics/chart_layout.h"
#include "analytics/comparison.h"

namespace lastlook::analytics {

struct ComparisonChartOptions {
  ChartFrame frame;
  std::string rule;  // for the footnote: "Holm over 12 cells, 5 %"
};

// Rows that do not fit the height are counted in the footnote. Text never overlaps; where the width
// is small the shares are left out before the names.
Chart comparison_chart(const std::vector<Difference>& rows, const ComparisonChartOptions& options,
                       const TextMeasure& measure);

// Those that changed first, each part by the size of its difference.
std::vector<Difference> by_weight(std::vector<Difference> rows);

}  // namespace lastlook::analytics
