// SPDX-License-Identifier: Apache-2.0
// Where a chart of a station's shifts starts anew, and why.
#pragma once

#include <vector>

#include "analytics/control_chart.h"
#include "kiosk/records/shift_queries.h"

namespace lastlook::commands {

// Starts a phase where a revision changed what is judged on the variants of the shift, or where the
// camera's opinions were taken into use or out of it (on record for half of the first looks and
// more); the phase is named after the reason: "revision 8: lid is new in the checklist". The first
// is named after the conditions that it starts with.
Status add_phases(records::View view, const records::Period& period,
                  std::vector<analytics::ChartSample>& samples);

}  // namespace lastlook::commands
