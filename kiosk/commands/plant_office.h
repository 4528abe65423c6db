// SPDX-License-Identifier: Apache-2.0
// lastlook plant office: the station whose master data all others adopt.
#pragma once

#include <string>

namespace lastlook::commands {

// Makes a station the office of a store, or says which one is; station empty: says it. Returns the
// command's exit code.
int plant_office(const std::string& store, const std::string& station, bool json);

}  // namespace lastlook::commands
