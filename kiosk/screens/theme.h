// SPDX-License-Identifier: Apache-2.0
// Our colours, light and dark: named by what they are for, in one table. Text is drawn in pairs of
// text and ground, so that a test can compute the contrast of every pair that a screen can use.
// What colours mean follows IEC 60073: green normal, yellow abnormal, red danger or emergency, blue
// something that a person must do. Meaning is always told by a word and a shape as well. Colours
// that tell a state differ for eyes without the long, the middle or the short cones too, mostly by
// how light they are.
#pragma once

#include <cstdint>
#include <span>

#include "analytics/marks.h"

namespace lastlook::screens {

struct Rgb {
  std::uint8_t r = 0, g = 0, b = 0;
  bool operator==(const Rgb&) const = default;
};

enum class Ink {
  paper,  // the screen's ground
  card,   // ground of what lies on it
  sunk,   // ground of what is let in: a picture's surround, the step strip
  press,  // ground of a button under the finger
  line,   // hair lines between things
  edge,   // outlines that tell where a touch counts
  text,   // what is read
  quiet,  // what is read second
  lead,   // our own colour: the one thing to do next
  on_lead,
  good,
  on_good,
  warn,
  on_warn,
  stop,
  on_stop,
  must,
  on_must,
  few,  // bars of a chart: the few, the many, the rest
  many,
  rest,
  halo,   // outline on a picture, whatever the picture shows
  shade,  // over a picture, around the place that matters
  count_,
};

struct Theme {
  Rgb table[static_cast<int>(Ink::count_)];
  Rgb operator[](Ink ink) const { return table[static_cast<int>(ink)]; }
};

const Theme& light_theme();
const Theme& dark_theme();

// The only ways to draw text.
enum class Say {
  body,        // text on paper
  quiet,       // second text on paper
  card,        // text on a card
  card_quiet,  // second text on a card
  sunk,        // text on what is let in
  press,       // text on a pressed button
  lead,        // text in our colour, on paper
  card_lead,
  card_good,  // a state's word, on a card
  card_stop,
  card_must,
  on_lead,
  on_good,
  on_warn,
  on_stop,
  on_must,
  count_,
};

struct Pair {
  Ink text, ground;
};
Pair pair_of(Say say);

// A shape or an outline that must be told from its ground (3:1 and more, WCAG 2.1, 1.4.11).
std::span<const Pair> shape_pairs();

// Contrast ratio, 1 to 21. Source: WCAG 2.1, definitions of relative luminance and contrast ratio.
double contrast(Rgb a, Rgb b);

// Ink of a chart's marks: shapes, and text.
Ink ink_of(analytics::Role role);
Say say_of(analytics::Role role);

}  // namespace lastlook::screens
