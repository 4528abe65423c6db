// SPDX-License-Identifier: Apache-2.0
// A PIN at the command line: never an argument, which every program on the machine could read.
#pragma once

#include <string>

#include "analytics/result.h"

namespace lastlook::commands {

// The next line of standard input, without its end; a terminal asks for it and shows nothing of
// it. bad_input: standard input ended.
Result<std::string> read_secret(const std::string& what);

}  // namespace lastlook::commands
