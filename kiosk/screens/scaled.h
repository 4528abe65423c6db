// SPDX-License-Identifier: Apache-2.0
// The largest type at which a screen holds all that it says.
#pragma once

#include <functional>
#include <span>

#include "kiosk/screens/canvas.h"

namespace lastlook::screens {

// Whether every text that was drawn has room, and every target: as large as a finger needs it, in
// the window, apart from the others.
bool has_room(const Canvas& canvas);

// Draws in each scale on nothing, with nobody touching it, until one has room; else it is the last,
// in which the layout tests hold every screen. `draw` must draw the same each time.
const Scale& scale_with_room(std::span<const Scale> scales, const Theme& theme, const Rect& whole,
                             const std::function<void(Canvas&)>& draw);

}  // namespace lastlook::screens
