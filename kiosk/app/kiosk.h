// SPDX-License-Identifier: Apache-2.0
// The kiosk: a station's folder, its window, its camera, and the loop that draws when something
// has happened.
#pragma once

#include "kiosk/commands/command.h"

namespace lastlook::app {

// Returns the exit code when the window is closed.
int open_kiosk(const commands::KioskOptions& options);

}  // namespace lastlook::app
