// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/canvas.h"

#include <cfloat>
#include <cmath>

#include "kiosk/screens/text_layout.h"

namespace lastlook::screens {
namespace {

constexpr float line_height = 1.28F;  // of the type's size

Width width_in(const ImFont& font) {
  return [&font](std::string_view text) {
    return font.CalcTextSizeA(font.FontSize, FLT_MAX, 0, text.data(), text.data() + text.size()).x;
  };
}

struct ButtonInk {
  Ink ground, edge;
  Say say, second;
};

ButtonInk ink_of(Kind kind, bool pressed) {
  if (pressed) return {Ink::press, Ink::text, Say::press, Say::press};
  switch (kind) {
    case Kind::plain:
      return {Ink::card, Ink::edge, Say::card, Say::card_quiet};
    case Kind::quiet:
      return {Ink::paper, Ink::edge, Say::body, Say::quiet};
    case Kind::lead:
      return {Ink::lead, Ink::lead, Say::on_lead, Say::on_lead};
    case Kind::good:
      return {Ink::good, Ink::good, Say::on_good, Say::on_good};
    case Kind::warn:
      return {Ink::warn, Ink::on_warn, Say::on_warn, Say::on_warn};
    case Kind::stop:
      return {Ink::stop, Ink::stop, Say::on_stop, Say::on_stop};
    case Kind::must:
      return {Ink::must, Ink::must, Say::on_must, Say::on_must};
  }
  return {Ink::card, Ink::edge, Say::card, Say::card_quiet};
}

ImVec2 at(float x, float y) {
  // On whole pixels, for crisp type.
  return {std::round(x), std::round(y)};
}

}  // namespace

ImFont* Fonts::of(Type type) const {
  return type == Type::huge ? huge : type == Type::strong ? strong : text;
}

Say say_on(Kind kind) {
  return ink_of(kind, false).say;
}

ImU32 Canvas::colour(Ink ink, int alpha) const {
  const Rgb c = theme_[ink];
  return IM_COL32(c.r, c.g, c.b, alpha);
}

void Canvas::fill(const Rect& a, Ink ink, float round_px) {
  list_.AddRectFilled({a.x, a.y}, {a.right(), a.bottom()}, colour(ink), round_px);
}

void Canvas::outline(const Rect& a, Ink ink, float width_px, float round_px) {
  list_.AddRect({a.x, a.y}, {a.right(), a.bottom()}, colour(ink), round_px, 0, width_px);
}

void Canvas::line(Spot from, Spot to, Ink ink, float width_px) {
  list_.AddLine({from.x, from.y}, {to.x, to.y}, colour(ink), width_px);
}

void Canvas::shade_around(const Rect& outer, const Rect& hole, int alpha) {
  const ImU32 ink = colour(Ink::shade, alpha);
  const float top = std::max(outer.y, hole.y), bottom = std::min(outer.bottom(), hole.bottom());
  list_.AddRectFilled({outer.x, outer.y}, {outer.right(), top}, ink);
  list_.AddRectFilled({outer.x, bottom}, {outer.right(), outer.bottom()}, ink);
  list_.AddRectFilled({outer.x, top}, {std::max(outer.x, hole.x), bottom}, ink);
  list_.AddRectFilled({std::min(outer.right(), hole.right()), top}, {outer.right(), bottom}, ink);
}

void Canvas::shape(Shape shape, Spot centre, float size_px, Ink ink, Ink cut) {
  draw_shape(list_, shape, centre, size_px, colour(ink), colour(cut));
}

void Canvas::card(const Rect& area) {
  fill(area, Ink::card, size.round_px);
  outline(area, Ink::line, 1, size.round_px);
}

void Canvas::picture(const Rect& a, std::uintptr_t texture, const Rect& part) {
  list_.AddImageRounded(reinterpret_cast<ImTextureID>(texture), {a.x, a.y}, {a.right(), a.bottom()},
                        {part.x, part.y}, {part.right(), part.bottom()}, IM_COL32_WHITE,
                        size.round_px * 0.6F);
}

void Canvas::soft(const Rect& a, std::uintptr_t texture, const Rect& part, Ink ink) {
  list_.AddImage(reinterpret_cast<ImTextureID>(texture), {a.x, a.y}, {a.right(), a.bottom()},
                 {part.x, part.y}, {part.right(), part.bottom()}, colour(ink, 150));
}

float Canvas::line_of(Type type) const {
  return std::round(fonts_.of(type)->FontSize * line_height);
}

float Canvas::width_of(std::string_view text, Type type) const {
  return width_in(*fonts_.of(type))(text);
}

float Canvas::height_of(std::string_view text, float width_px, Type type) const {
  const auto lines = wrapped(text, width_px, width_in(*fonts_.of(type)));
  return static_cast<float>(lines.size()) * line_of(type);
}

Canvas::Block Canvas::block(const Rect& area, std::string_view text, Type type) {
  for (;; type = type == Type::huge ? Type::strong : Type::text) {
    const Width width = width_in(*fonts_.of(type));
    Block out{wrapped(text, area.w, width), type};
    bool fits = static_cast<float>(out.lines.size()) * line_of(type) <= area.h + 1;
    for (const std::string& line : out.lines) fits = fits && width(line) <= area.w + 1;
    // A word cut in two fits, but is not how one writes.
    const bool cut = widest_word(text, width) > area.w + 1;
    if (fits && !cut) return out;
    if (fits && type == Type::text) {
      complaints_.emplace_back(text);
      return out;
    }
    if (type != Type::text) continue;
    const auto room = static_cast<std::size_t>(std::max(1.0F, (area.h + 1) / line_of(type)));
    if (out.lines.size() > room) {
      out.lines.resize(room);
      out.lines.back() = shortened(out.lines.back() + " …", area.w, width);
    }
    complaints_.emplace_back(text);
    return out;
  }
}

void Canvas::draw_lines(const Rect& area, const Block& block, Say say, Align align) {
  ImFont& font = *fonts_.of(block.type);
  const Width width = width_in(font);
  float y = area.y + (line_of(block.type) - font.FontSize) / 2;
  for (const std::string& line : block.lines) {
    const float room = area.w - width(line);
    const float x = align == Align::left ? 0 : align == Align::middle ? room / 2 : room;
    list_.AddText(&font, font.FontSize, at(area.x + x, y), colour(pair_of(say).text), line.data(),
                  line.data() + line.size());
    y += line_of(block.type);
  }
}

float Canvas::text(const Rect& area, std::string_view text, Say say, Type type, Align align) {
  if (text.empty()) return 0;
  const Block laid = block(area, text, type);
  draw_lines(area, laid, say, align);
  return static_cast<float>(laid.lines.size()) * line_of(laid.type);
}

void Canvas::centred(const Rect& area, std::string_view text, Say say, Type type, Align align) {
  if (text.empty()) return;
  const Block laid = block(area, text, type);
  const float height = static_cast<float>(laid.lines.size()) * line_of(laid.type);
  Rect middle = area;
  middle.y += std::max(0.0F, (area.h - height) / 2);
  draw_lines(middle, laid, say, align);
}

void Canvas::paragraph(Rect& area, std::string_view text, Say say, Type type, float gap_px) {
  if (text.empty()) return;
  area.cut_top(this->text(area, text, say, type), gap_px);
}

void Canvas::aside(Rect& area, std::string_view text, Say say, Type type) {
  if (height_of(text, area.w, type) <= area.h) paragraph(area, text, say, type, 0);
}

// Where a word would be cut beside the shape, it stands below it.
void Canvas::draw_stacked(Rect area, const ButtonLook& look, Say say) {
  const float words_h = height_of(look.text, area.w, Type::text);
  const float across = std::clamp(area.h - words_h, size.text_px * 0.9F, size.text_px * 1.4F);
  area.cut_top((area.h - words_h - across) / 2);
  draw_shape(list_, *look.shape, area.cut_top(across).centre(), across, colour(pair_of(say).text),
             colour(pair_of(say).ground));
  text(area, look.text, say, Type::text, Align::middle);
}

void Canvas::draw_button_text(Rect area, const ButtonLook& look, Say say, Say second) {
  const bool has_text = !look.text.empty();
  if (look.shape) {
    const float wanted = look.type == Type::text ? size.text_px * 1.3F : size.strong_px * 1.5F;
    const float across = std::min({wanted, area.h, area.w});
    const float beside = area.w - across - size.gap_px;
    const Width width = width_in(*fonts_.of(Type::text));
    const bool stacked = has_text && look.second.empty() && widest_word(look.text, width) > beside;
    if (stacked) return draw_stacked(area, look, say);
    const Rect place = has_text ? area.cut_left(across, size.gap_px) : area;
    draw_shape(list_, *look.shape, place.centre(), across, colour(pair_of(say).text),
               colour(pair_of(say).ground));
  }
  if (!has_text) return;
  const Align align = look.shape || !look.second.empty() ? Align::left : Align::middle;
  if (look.second.empty()) return centred(area, look.text, say, look.type, align);
  // Smaller type for the first where the second would have no room below it.
  Type type = look.type;
  if (height_of(look.text, area.w, type) + height_of(look.second, area.w, Type::text) > area.h + 1)
    type = type == Type::huge ? Type::strong : Type::text;
  const float first_h = std::min(height_of(look.text, area.w, type), area.h * 0.6F);
  const float second_h = std::min(height_of(look.second, area.w, Type::text), area.h - first_h);
  area.cut_top((area.h - first_h - second_h) / 2);
  centred(area.cut_top(first_h), look.text, say, type, align);
  text(area, look.second, second, Type::text, align);
}

bool Canvas::button(std::string_view key, const Rect& area, const ButtonLook& look) {
  const bool touched = target(key, area);
  const bool held =
      touch_.holds(key) && touch_.pointer().down && area.contains(touch_.pointer().at);
  const ButtonInk ink = ink_of(look.kind, held);
  fill(area, ink.ground, size.round_px);
  outline(area, look.chosen ? Ink::lead : ink.edge, look.chosen ? 4.0F : 1.5F, size.round_px);
  const float across = std::min(size.pad_px, area.w * 0.1F);
  draw_button_text(area.inside(across, std::min(size.gap_px * 0.6F, area.h * 0.1F)), look, ink.say,
                   ink.second);
  return touched;
}

// A light line between two dark ones: told from a button and from what is round it, whatever
// colours these have, and on a picture.
void Canvas::outline_focus(std::string_view key) {
  if (key.empty()) return;
  for (const Target& target : targets_) {
    if (target.key != key) continue;
    const float line = std::round(std::max(2.0F, size.text_px * 0.12F));
    const float out = -1.5F * line;  // begins at the target's edge
    outline(target.area.inside(out), Ink::shade, 3 * line, size.round_px);
    outline(target.area.inside(out), Ink::halo, line, size.round_px);
  }
}

bool Canvas::target(std::string_view key, const Rect& area) {
  if (inert_) return false;
  targets_.push_back({std::string(key), area});
  return touch_.on(key, area);
}

std::optional<Spot> Canvas::target_at(std::string_view key, const Rect& area) {
  if (inert_) return std::nullopt;
  targets_.push_back({std::string(key), area, false});
  return touch_.at(key, area);
}

std::optional<Touch::Drag> Canvas::drag(std::string_view key, const Rect& area) {
  if (inert_) return std::nullopt;
  targets_.push_back({std::string(key), area, false});
  return touch_.drag(key, area);
}

}  // namespace lastlook::screens
