// SPDX-License-Identifier: Apache-2.0
// What the camera thinks of the component at hand and why, or why it thinks nothing.
#pragma once

#include "kiosk/screens/canvas.h"
#include "kiosk/screens/facts.h"

namespace lastlook::screens {

float opinion_card_height(const Canvas& canvas, const Facts& facts,
                          const domain::ComponentOpinion* opinion, domain::Expectation expected,
                          float width_px);  // where there is room
// True when it was touched: the camera is to look again.
bool draw_opinion_card(Canvas& canvas, const Facts& facts, const domain::ComponentOpinion* opinion,
                       domain::Expectation expected, const Rect& area);

// In its place, where the person answers before the opinion shows.
void draw_answer_first(Canvas& canvas, const text::Strings& say, const Rect& area);

}  // namespace lastlook::screens
