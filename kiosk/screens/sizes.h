// SPDX-License-Identifier: Apache-2.0
// How large things are, from the window's size and the screen's fineness.
#pragma once

#include <vector>

namespace lastlook::screens {

struct Sizes {
  float finger_px = 100;  // 20 mm: the least side of what a gloved finger must hit
  float touch_px = 100;   // the side of what it hits: that, or more where type is large
  float gap_px = 12;      // between things
  float pad_px = 20;      // around things
  float round_px = 10;    // of corners
  float text_px = 21;     // the three sizes of type
  float strong_px = 30;
  float huge_px = 48;
};

// mm_per_px > 0. Type is at least 4.2 mm high (capitals of 3 mm, seen from under an arm's length
// and a half at 20 minutes of arc, ISO 9241-303, from memory) and grows with a larger window.
// text_scale: of the type; what a finger hits grows by half as much, what lies between does not, so
// that the words get the room.
Sizes sizes_for(float width_px, float height_px, float mm_per_px, float text_scale = 1);

// The scales to try where type is wanted this large, the largest first, 1 at the end.
std::vector<float> text_scales(float wanted);

// A fineness that can be: what was set up, else what the monitor says, else 0.2 mm (10 inch,
// 1280x800 is 0.17; 15.6 inch, 1920x1080 is 0.18).
float mm_per_px_of(float set_up, float monitor_mm, float monitor_px);

}  // namespace lastlook::screens
