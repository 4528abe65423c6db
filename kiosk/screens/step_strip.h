// SPDX-License-Identifier: Apache-2.0
// The steps of the open look in a row: what was answered, where we are. A touch shows one again.
#pragma once

#include <optional>

#include "kiosk/flows/inspection.h"
#include "kiosk/screens/canvas.h"

namespace lastlook::screens {

float step_strip_height(const Canvas& canvas);
// at: the step shown; past the last: none.
std::optional<std::size_t> draw_step_strip(Canvas& canvas, const flows::OpenLook& look,
                                           std::size_t at, const Rect& area);

}  // namespace lastlook::screens
