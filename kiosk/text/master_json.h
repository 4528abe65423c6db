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

// The same of a document that a person wrote (its form: assets/plant/plant.schema.json). bad_input
// too where it has a key that nothing reads: a slip of the pen, or a rule that a later version of
// the program knows. What a journal has is read in spite of one.
Result<domain::Master> read_new_master(const std::string& json);

}  // namespace lastlook::text
