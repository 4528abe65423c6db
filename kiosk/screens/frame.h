// SPDX-License-Identifier: Apache-2.0
// What every working screen shares: the head line, and where picture, strip and hands go.
#pragma once

#include "kiosk/screens/canvas.h"
#include "kiosk/screens/facts.h"
#include "kiosk/screens/request.h"

namespace lastlook::screens {

// The picture large on one side, the zone of the hands on the other: right, or left for the left
// hand. The picture itself is never mirrored. strip lies under the picture.
struct Work {
  Rect picture, strip, zone;
};

Work work_areas(const Canvas& canvas, const Rect& body, float strip_px);

// Paper, and the head line: what this is about, the person, the time. Returns the rest.
Rect draw_head(Canvas& canvas, const Facts& facts, std::string_view about,
               std::string_view second = {});

// The camera's picture in the area, or why there is none. Returns where the picture lies; empty
// when there is none.
Rect draw_camera(Canvas& canvas, const Facts& facts, const Rect& area);

// A large symbol at the top left of the card, cut off it.
void draw_sign(Canvas& canvas, Rect& card, Shape shape, float across_px);

// What the flow has to say about the last event, over the picture's upper edge, until it is touched
// or something else happens.
void draw_notices(Canvas& canvas, const Facts& facts, const Rect& over, Requests& out);

}  // namespace lastlook::screens
