// SPDX-License-Identifier: Apache-2.0
// What the screens of teaching share.
#pragma once

#include <string>
#include <vector>

#include "kiosk/screens/canvas.h"
#include "kiosk/screens/facts.h"
#include "kiosk/screens/request.h"

namespace lastlook::screens {

inline void ask_for(Requests& out, flows::TeachEvent event) {
  out.emplace_back(std::move(event));
}

// The marked places where the picture lies; the chosen one stands out with its name, the others
// have theirs where `named`.
void draw_marks(Canvas& canvas, const Facts& facts, const Rect& lies,
                const std::vector<domain::TeachingMark>& marks, bool named,
                std::string_view chosen);

// "Lid: its place is empty".
std::string fault_words(const Facts& facts, const domain::KnownFault& fault);

// "2 more good CP-210" …
std::string wanted_words(const Facts& facts, const domain::Wanted& wanted);

// The button that photographs; while the last picture is on its way to the disk it waits.
bool draw_take(Canvas& canvas, const Facts& facts, const Rect& area, const ButtonLook& look);

// The step back, at the bottom of the zone; cut off it.
void draw_teach_back(Canvas& canvas, const Facts& facts, Rect& zone, flows::TeachEvent back,
                     Requests& out);

}  // namespace lastlook::screens
