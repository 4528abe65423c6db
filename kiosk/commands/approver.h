// SPDX-License-Identifier: Apache-2.0
// Who approves something at the command line: a quality engineer of the station, with the own PIN.
#pragma once

#include <string>

#include "analytics/result.h"

namespace lastlook::commands {

// refused: `id` is no quality engineer there, or the PIN, read from standard input, is wrong.
Status check_approver(const std::string& dir, const std::string& id);

}  // namespace lastlook::commands
