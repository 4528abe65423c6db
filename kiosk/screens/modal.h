// SPDX-License-Identifier: Apache-2.0
// A question that must be answered before anything else: a panel over the shaded screen.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "kiosk/flows/inspection.h"
#include "kiosk/screens/canvas.h"
#include "kiosk/screens/facts.h"
#include "kiosk/screens/request.h"
#include "kiosk/text/strings.h"

namespace lastlook::screens {

struct Choice {
  std::string key;  // of the target
  ButtonLook look;
};

// How the way back looks.
ButtonLook back_look(const text::Strings& say);

// Draws it and says which choice was touched; the last choice is the way back. Everything drawn
// before it in this frame must have been drawn inert.
std::optional<std::size_t> ask(Canvas& canvas, const std::string& title, const std::string& text,
                               std::span<const Choice> choices);

// Which of these words was touched, by its place; their number: the way back. Of "<family><word>".
std::optional<std::size_t> ask_which(Canvas& canvas, const text::Strings& say,
                                     const std::string& family, std::span<const char* const> words,
                                     const std::string& title, const std::string& text);

// Why a unit is placed aside; `open` turns false when it was chosen or called off.
std::optional<flows::Event> ask_park(Canvas& canvas, const text::Strings& say, bool& open);

// Which unit lies there, where the camera reads another tag than the open look's; in front of
// anything else while facts.other_tag is set.
void ask_other_tag(Canvas& canvas, const Facts& facts, Requests& out);

// The panel alone: shades the screen, returns the room inside.
Rect draw_panel(Canvas& canvas, float width_px, float height_px);

}  // namespace lastlook::screens
