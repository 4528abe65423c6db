// SPDX-License-Identifier: Apache-2.0
// Samples of a control chart from a table.
#pragma once

#include <string>
#include <vector>

#include "analytics/control_chart.h"
#include "analytics/rare_event.h"

namespace lastlook::commands {

// Columns sample, nonconforming, inspected (not needed by c) and, where they are there, phase and
// excluded. Errors name file, line and column.
Result<std::vector<analytics::ChartSample>> read_samples(const std::string& file,
                                                         analytics::ChartKind kind);

// Columns event and between; where they are there, phase and excluded.
Result<std::vector<analytics::RareEvent>> read_events(const std::string& file,
                                                      analytics::RareKind kind);

}  // namespace lastlook::commands
