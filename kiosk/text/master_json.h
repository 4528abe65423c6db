// SPDX-License-Identifier: Apache-2.0
// Master data as JSON: what a plant approves and a journal keeps whole.
#pragma once

#include <string>

#include "analytics/result.h"
#include "kiosk/domain/master.h"

namespace lastlook::text {

// bad_input names the path and what was expected: "variants[1].checklist[0].expected: 'maybe' is
// neither 'present' nor 'absent'". The result is checked (domain::check).
Result<domain::Master> read_master(const std::string& json);
std::string write_master(const domain::Master& master);

}  // namespace lastlook::text
