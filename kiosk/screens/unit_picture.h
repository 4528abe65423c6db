// SPDX-License-Identifier: Apache-2.0
// What is drawn on the unit's picture.
#pragma once

#include <span>

#include "kiosk/domain/happening.h"
#include "kiosk/screens/canvas.h"
#include "kiosk/screens/facts.h"

namespace lastlook::screens {

// The component's place: outlined, the rest shaded; and seen closer in a corner that does not hide
// it. differs: with where the camera sees it differ from what it was taught.
void draw_where(Canvas& canvas, const Facts& facts, const Rect& lies, const domain::Box& box,
                bool closer, bool differs);

// The part of the picture around the box, of the shape of `into`, as fractions; aspect: the
// picture's width to its height.
Rect part_around(const domain::Box& box, const Rect& into, float aspect);

// Each finding at its place.
void draw_finding_marks(Canvas& canvas, std::span<const domain::FindingAdded> findings,
                        const Rect& lies);

}  // namespace lastlook::screens
