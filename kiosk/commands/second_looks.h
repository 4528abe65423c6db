// SPDX-License-Identifier: Apache-2.0
// Blind second looks of a station's records as the statistics take them.
#pragma once

#include <string>
#include <vector>

#include "analytics/second_look.h"
#include "kiosk/records/second_look_queries.h"

namespace lastlook::commands {

// refused: none was done in the period.
Result<std::vector<records::SecondLookDone>> done_second_looks(records::View view,
                                                               const records::Period& period);

// each: what a period of the time chart is: "day", "week" or "shift", of the first look.
std::vector<analytics::SecondLook> as_second_looks(const std::vector<records::SecondLookDone>& done,
                                                   const std::string& each);

}  // namespace lastlook::commands
