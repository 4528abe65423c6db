// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/together.h"

#include <cmath>

#include "kiosk/screens/frame.h"
#include "kiosk/screens/modal.h"
#include "kiosk/screens/step_strip.h"
#include "kiosk/screens/unit_picture.h"
#include "kiosk/screens/wording.h"

namespace lastlook::screens {

void TogetherScreen::enter() {
  parking_ = false;
}

void TogetherScreen::update(const Facts& facts) {
  tiles_.clear();
  right_.clear();
  if (!facts.inspection->open) return;
  const flows::OpenLook& look = *facts.inspection->open;
  looked_at_ = look.opinion.has_value();
  for (const std::size_t i : flows::together_steps(look)) {
    Tile tile{i, look.steps[i].step.component, "", {}, false};
    tile.name = component_name(facts.inspection->master, tile.component);
    if (const auto* component = facts.inspection->master.component(tile.component))
      tile.box = component->box;
    if (const auto* opinion = flows::shown_opinion(look, tile.component)) {
      if (opinion->box.w > 0) tile.box = opinion->box;
      tile.right = opinion->conforming == "yes";
    }
    if (tile.right) right_.push_back(tile.component);
    tiles_.push_back(std::move(tile));
  }
}

void TogetherScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  if (!facts.inspection->open) return;
  const text::Strings& say = *facts.say;
  const flows::OpenLook& look = *facts.inspection->open;
  canvas.inert(parking_ || facts.other_tag);
  const Rect body = draw_head(canvas, facts, unit_name(look.opened),
                              say("look.head", {look.variant, look_number(say, look.opened)}));
  const Work work = work_areas(canvas, body, step_strip_height(canvas));
  draw_tiles(canvas, facts, work.picture, out);
  draw_notices(canvas, facts, work.picture, out);
  if (const auto touched = draw_step_strip(canvas, look, look.steps.size(), work.strip))
    out.emplace_back(ReviseStep{*touched});
  draw_zone(canvas, facts, work.zone, out);
  canvas.inert(false);
  if (facts.other_tag) return ask_other_tag(canvas, facts, out);
  if (!parking_) return;
  if (const auto event = ask_park(canvas, say, parking_)) out.emplace_back(*event);
}

// As many columns as make the tiles nearest to a picture's shape: all of them are on the screen.
void TogetherScreen::draw_tiles(Canvas& canvas, const Facts& facts, const Rect& area,
                                Requests& out) {
  const float gap = canvas.size.gap_px * 0.6F;
  const int count = static_cast<int>(tiles_.size());
  int columns = 1;
  float best = 0;
  for (int c = 1; c <= count; ++c) {
    const auto rows = static_cast<float>((count + c - 1) / c);
    const float w = area.w / static_cast<float>(c), h = area.h / rows;
    const float side = std::min(w / 1.25F, h);  // of what a tile of that shape would be
    if (side > best) best = side, columns = c;
  }
  const auto grid = cells(area, columns, (count + columns - 1) / columns, gap);
  for (std::size_t i = 0; i < tiles_.size(); ++i) draw_tile(canvas, facts, tiles_[i], grid[i], out);
}

void TogetherScreen::draw_tile(Canvas& canvas, const Facts& facts, const Tile& tile, Rect cell,
                               Requests& out) {
  const Sizes& size = canvas.size;
  if (canvas.target("together." + tile.component, cell)) out.emplace_back(ReviseStep{tile.step});
  canvas.fill(cell, Ink::card, size.round_px * 0.6F);
  if (looked_at_ && !tile.right) canvas.outline(cell, Ink::warn, 4, size.round_px * 0.6F);
  Rect words = cell.cut_bottom(canvas.line_of(Type::text) + size.gap_px * 0.4F);
  canvas.picture(cell.inside(size.gap_px * 0.3F), facts.camera.texture,
                 part_around(tile.box, cell.inside(size.gap_px * 0.3F), facts.camera.aspect));
  const float mark = size.text_px;
  words = words.inside(size.gap_px * 0.4F, 0);
  const Rect sign = words.cut_left(mark, size.gap_px * 0.5F);
  if (looked_at_)
    canvas.shape(tile.right ? Shape::eye : Shape::open, sign.centre(), mark,
                 tile.right ? Ink::good : Ink::edge, Ink::card);
  canvas.centred(words, tile.name, Say::card, Type::text, Align::left);
}

void TogetherScreen::draw_zone(Canvas& canvas, const Facts& facts, Rect zone, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const auto small = [&](std::string_view key, const Rect& cell, std::string_view words) {
    return canvas.button(key, cell, {.kind = Kind::quiet, .text = say(words), .type = Type::text});
  };
  const auto grid = cells(zone.cut_bottom(size.touch_px, size.pad_px), 3, 1, size.gap_px);
  if (small("help", grid[0], "help.call")) out.emplace_back(flows::Event(flows::CallHelp{}));
  if (small("one_by_one", grid[1], "together.one_by_one")) out.emplace_back(OneByOne{});
  if (small("park", grid[2], "look.park")) parking_ = true;
  const Rect good = zone.cut_bottom(std::min(size.touch_px * 1.9F, zone.h * 0.4F), size.pad_px);
  canvas.card(zone);
  Rect card = zone.inside(size.pad_px);
  if (right_.empty()) {
    canvas.paragraph(card, say("opinion.looking"), Say::card_lead, Type::strong, size.gap_px);
    canvas.aside(card, say("together.look_meanwhile"), Say::card_quiet, Type::text);
    return;
  }
  canvas.paragraph(card, say("together.title"), Say::card_lead, Type::strong, size.gap_px);
  if (const std::size_t rest = tiles_.size() - right_.size(); rest > 0)
    canvas.paragraph(card, say("together.rest", {std::to_string(rest)}), Say::card, Type::text,
                     size.gap_px);
  canvas.aside(card, say("together.how"), Say::card_quiet, Type::text);
  const ButtonLook all{.kind = Kind::good,
                       .text = say("together.all"),
                       .second = say("together.all_second", {std::to_string(right_.size())}),
                       .shape = Shape::conforming};
  if (canvas.button("together.all", good, all))
    out.emplace_back(flows::Event(flows::AnswerTogether{right_}));
}

}  // namespace lastlook::screens
