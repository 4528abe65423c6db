// SPDX-License-Identifier: Apache-2.0
// What the questions of a review share: the open one as the heading, all of them to be touched at
// the bottom between the shift, to choose another one, and the way back, always at the same place.
#pragma once

#include <string_view>

#include "kiosk/screens/canvas.h"
#include "kiosk/screens/facts.h"
#include "kiosk/screens/request.h"

namespace lastlook::screens {

struct ReviewRoom {
  Rect area;          // for the answer
  bool back = false;  // the way back was touched: the screen says where it leads
};

// Draws them. `second` is said beside the heading: which shift it is, unless there is something
// closer.
ReviewRoom draw_review_frame(Canvas& canvas, const Facts& facts, Requests& out,
                             std::string_view second = {});

// The answer in a sentence, at the top of the area and cut off it.
void draw_answer(Canvas& canvas, Rect& area, std::string_view answer);

}  // namespace lastlook::screens
