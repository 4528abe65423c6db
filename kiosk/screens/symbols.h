// SPDX-License-Identifier: Apache-2.0
// Our own symbols, drawn from lines and areas: each state has an outline of its own, so that it is
// told without its colour and at a glance.
#pragma once

#include <imgui.h>

#include "kiosk/screens/rect.h"

namespace lastlook::screens {

enum class Shape {
  conforming,     // disc with a tick
  nonconforming,  // diamond with a bar
  open,           // ring: not answered
  rework,         // diamond with a bent arrow back
  hold,           // square with a hand's flat bar
  scrap,          // hexagon with a cross
  parked,         // square ring with a corner turned down
  eye,            // the camera's opinion
  eye_shut,       // no opinion
  scan,           // a tag with its code under a beam
  no_tag,         // a tag's place, empty
  keys,           // keypad
  bars,           // shift review
  leave,          // sign out
  back,
  rub_out,
  caution,  // triangle
  place,    // a finding's place
  person,
  help,  // a raised hand
  turn,  // the ways a hand is needed
  touch,
  tug,
};

// `size` across; `ink` for the shape, `cut` for what is drawn into it.
void draw_shape(ImDrawList& list, Shape shape, Spot centre, float size, ImU32 ink, ImU32 cut);

}  // namespace lastlook::screens
