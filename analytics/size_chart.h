// SPDX-License-Identifier: Apache-2.0
// How many units each of some plans needs: a bar a plan, the one that was asked for in front.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "analytics/chart_layout.h"

namespace lastlook::analytics {

struct PlannedSize {
  std::string plan;  // "2 missed", "power 90 %"
  std::int64_t units = 0;
  bool asked = false;
};

// At least one row; rows that do not fit the height are left out from the end, and the footnote
// says how many. Text never overlaps: names are cut to a third of the width.
Chart size_chart(const std::vector<PlannedSize>& sizes, const std::string& footnote,
                 const ChartFrame& frame, const TextMeasure& measure);

}  // namespace lastlook::analytics
