// SPDX-License-Identifier: Apache-2.0
// Charts of what lies between two rare events, where a sample would hold none: g counts the good
// units between two nonconforming ones, t measures the time.
//
// Definition: g: x good units between, mean m; sigma limits m +- 3 sqrt(m (m + 1)), cut at 0; exact
//   limits the geometric counts (p = 1 / (m + 1)) beyond which lies at most 0.00135 on each side.
//   t: sigma limits on y = x^0.2777 (1/3.6), three times the mean moving range by 1.128 from the
//   mean of y, raised back to times; exact limits the 0.00135 quantiles of the exponential with
//   that mean. Centre: g the mean; t the mean of y raised back, or with exact limits the median.
// Divisor: events that count.
// Least n: two of them.
// Edges: a g count that is not whole or below 0, a time below 0 -> bad_input; all 0 -> refused;
//   excluded events are judged and do not shape the limits; each phase has its own. A point below
//   the lower limit says that events come closer together, which is worse. Questions of runs are
//   for t: the geometric is so skewed that half of all points lie in the lowest tenth, so g ->
//   refused.
// Interval method: none.
// Source: Benneyan (2001) Health Care Manag Sci 4:305 for g; Nelson (1994) J Qual Technol 26:239
//   for the power 1/3.6; Montgomery, Introduction to Statistical Quality Control, ch. 7.
#pragma once

#include <string>
#include <vector>

#include "analytics/control_chart.h"

namespace lastlook::analytics {

enum class RareKind { g, t };

struct RareEvent {
  std::string name;
  double between = 0;  // good units, or time in any one unit, since the event before
  std::string phase;
  std::string excluded;
};

struct RareOptions {
  RareKind kind = RareKind::g;
  LimitKind limits = LimitKind::exact;
  std::vector<Question> questions;
};

Result<AttributeChart> rare_event_chart(const std::vector<RareEvent>& events,
                                        const RareOptions& options);

}  // namespace lastlook::analytics
