// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/containment.h"

#include <algorithm>

#include "kiosk/screens/frame.h"
#include "kiosk/screens/wording.h"

namespace lastlook::screens {

void ContainmentScreen::update(const Facts& facts) {
  relied_ = static_cast<std::size_t>(
      std::ranges::count(facts.proof.contained, true, &records::ContainedUnit::relied));
  again_ = static_cast<std::size_t>(std::ranges::count_if(
      facts.proof.contained, [](const auto& unit) { return unit.again.has_value(); }));
}

void ContainmentScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const auto& units = facts.proof.contained;
  const Rect body =
      draw_head(canvas, facts, say("containment.title"),
                say("containment.head", {std::to_string(units.size()), std::to_string(again_)}));
  Work work = work_areas(canvas, body, 0);
  if (units.empty()) {
    canvas.card(work.picture);
    canvas.centred(work.picture.inside(size.pad_px * 2), say("containment.none"), Say::card,
                   Type::strong);
  }
  const float row_h = std::max(size.touch_px, 3 * canvas.line_of(Type::text) + size.gap_px);
  pager_.draw(canvas, say, "contained.more", work.picture, units.size(), 2, row_h, row_h,
              [&](std::size_t i, const Rect& cell) { draw_unit(canvas, facts, units[i], cell); });
  const Rect back = work.zone.cut_bottom(size.touch_px, size.pad_px);
  canvas.card(work.zone);
  Rect card = work.zone.inside(size.pad_px);
  canvas.paragraph(card, say("containment.do"), Say::card_must, Type::strong, size.gap_px);
  canvas.paragraph(
      card,
      say("containment.counts", {std::to_string(relied_), std::to_string(units.size() - relied_)}),
      Say::card, Type::text, size.gap_px);
  canvas.aside(card, say("containment.site"), Say::card_quiet, Type::text);
  if (canvas.button("containment.back", back,
                    {.kind = Kind::lead, .text = say("review.back"), .shape = Shape::back}))
    out.emplace_back(ShowContainment{false});
}

void ContainmentScreen::draw_unit(Canvas& canvas, const Facts& facts,
                                  const records::ContainedUnit& unit, const Rect& cell) {
  const Sizes& size = canvas.size;
  canvas.card(cell);
  Rect card = cell.inside(size.gap_px, size.gap_px * 0.4F);
  const float mark = size.strong_px;
  const Shape shape = unit.again    ? look_of(unit.again->disposition).shape
                      : unit.relied ? Shape::eye
                                    : Shape::open;
  canvas.shape(shape, card.cut_left(mark, size.gap_px).centre(), mark, Ink::text, Ink::card);
  const text::Strings& say = *facts.say;
  const std::string why =
      unit.again ? say("contained.again",
                       {say("disposition." + std::string(to_word(unit.again->disposition)))})
                 : say(unit.relied ? "contained.relied" : "contained.sample", {unit.variant});
  const float words_h = canvas.line_of(Type::text) + canvas.height_of(why, card.w, Type::text);
  card.cut_top(std::max(0.0F, (card.h - words_h) / 2));
  canvas.paragraph(card, unit.serial, Say::card, Type::text, 0);
  canvas.text(card, why, Say::card_quiet, Type::text);
}

}  // namespace lastlook::screens
