// SPDX-License-Identifier: Apache-2.0
// Whether the kiosk's window can be opened here, and whether what is drawn on it can be hit.
#pragma once

#include <vector>

#include "kiosk/commands/checkup.h"

namespace lastlook::app {

// Opens a window that is not shown, and closes it again.
std::vector<commands::Check> check_display();

}  // namespace lastlook::app
