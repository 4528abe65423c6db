// SPDX-License-Identifier: Apache-2.0
// What a screen draws on: areas, outlines, text, symbols, pictures and things to touch, in the
// theme's colours and the three sizes of type. One a frame.
#pragma once

#include <imgui.h>

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "kiosk/screens/rect.h"
#include "kiosk/screens/sizes.h"
#include "kiosk/screens/symbols.h"
#include "kiosk/screens/theme.h"
#include "kiosk/screens/touch.h"

namespace lastlook::screens {

enum class Type { text, strong, huge };
enum class Align { left, middle, right };

struct Fonts {
  ImFont* text = nullptr;
  ImFont* strong = nullptr;
  ImFont* huge = nullptr;
  ImFont* of(Type type) const;
};

// One size of all that is drawn.
struct Scale {
  Sizes sizes;
  Fonts fonts;
};

// What kind of thing a button does; says its colours.
enum class Kind { plain, quiet, lead, good, warn, stop, must };

// Text on a ground of this kind.
Say say_on(Kind kind);

struct ButtonLook {
  Kind kind = Kind::plain;
  std::string text;
  std::string second = {};  // a smaller line below
  std::optional<Shape> shape = {};
  Type type = Type::strong;
  bool chosen = false;  // marked as the one chosen
};

class Canvas {
 public:
  Canvas(ImDrawList& list, const Theme& theme, const Fonts& fonts, const Sizes& sizes, Touch& touch,
         Rect whole)
      : size(sizes), whole(whole), list_(list), theme_(theme), fonts_(fonts), touch_(touch) {}

  const Sizes& size;
  const Rect whole;
  bool left_handed = false;

  void fill(const Rect& area, Ink ink, float round_px = 0);
  void outline(const Rect& area, Ink ink, float width_px, float round_px = 0);
  void line(Spot from, Spot to, Ink ink, float width_px);
  void shade_around(const Rect& outer, const Rect& hole, int alpha);
  void shape(Shape shape, Spot centre, float size_px, Ink ink, Ink cut);
  void card(const Rect& area);
  // part: which fraction of the picture is shown.
  void picture(const Rect& area, std::uintptr_t texture, const Rect& part = {0, 0, 1, 1});
  // A texture that is white and more or less dense, in this ink.
  void soft(const Rect& area, std::uintptr_t texture, const Rect& part, Ink ink);

  // Wrapped into the area, at its top; in the next smaller type where it does not fit, shortened
  // where even that does not (and then complained about). Returns the height that it took.
  float text(const Rect& area, std::string_view text, Say say, Type type,
             Align align = Align::left);
  // The same in the middle of the area's height.
  void centred(const Rect& area, std::string_view text, Say say, Type type,
               Align align = Align::middle);
  // Draws at the top of the area and cuts that off it.
  void paragraph(Rect& area, std::string_view text, Say say, Type type, float gap_px);
  // For what may be left out: draws the paragraph only where it fits.
  void aside(Rect& area, std::string_view text, Say say, Type type);
  float height_of(std::string_view text, float width_px, Type type) const;
  float width_of(std::string_view text, Type type) const;
  float line_of(Type type) const;

  // True in the frame in which it was touched.
  bool button(std::string_view key, const Rect& area, const ButtonLook& look);
  bool target(std::string_view key, const Rect& area);
  std::optional<Spot> target_at(std::string_view key, const Rect& area);
  std::optional<Touch::Drag> drag(std::string_view key, const Rect& area);
  // While on, nothing that is drawn can be touched: what lies under a modal screen.
  void inert(bool on) { inert_ = on; }

  // Around the target on which the keyboard's focus is, over all that was drawn.
  void outline_focus(std::string_view key);

  const std::vector<Target>& targets() const { return targets_; }
  // Texts that did not fit even when made smaller.
  const std::vector<std::string>& complaints() const { return complaints_; }

  ImU32 colour(Ink ink, int alpha = 255) const;
  ImDrawList& list() { return list_; }
  const Fonts& fonts() const { return fonts_; }

 private:
  struct Block {
    std::vector<std::string> lines;
    Type type;
  };
  Block block(const Rect& area, std::string_view text, Type type);
  void draw_lines(const Rect& area, const Block& block, Say say, Align align);
  void draw_stacked(Rect area, const ButtonLook& look, Say say);
  void draw_button_text(Rect area, const ButtonLook& look, Say say, Say second);

  ImDrawList& list_;
  const Theme& theme_;
  const Fonts& fonts_;
  Touch& touch_;
  bool inert_ = false;
  std::vector<Target> targets_;
  std::vector<std::string> complaints_;
};

}  // namespace lastlook::screens
