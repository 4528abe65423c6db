// SPDX-License-Identifier: Apache-2.0
// Agreement as one grid: inspectors against inspectors, each with themselves on the diagonal, the
// reference as the last column, all together in the corner; under it a sentence for each inspector.
#pragma once

#include "analytics/agreement.h"
#include "analytics/chart_layout.h"

namespace lastlook::analytics {

struct AgreementChartOptions {
  ChartFrame frame;
};

// A cell holds the number and, under it, its limits. A square stands beside a kappa whose lower
// limit is above 0.75, a diamond beside one whose lower limit is below 0.40 (common practice, after
// Fleiss 1981): what the data proves, not what it may be. Inspectors that do not fit the page are
// left out and counted in a note.
Chart agreement_chart(const Agreement& agreement, const Study& study,
                      const AgreementChartOptions& options, const TextMeasure& measure);

}  // namespace lastlook::analytics
