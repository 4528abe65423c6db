// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/review_behind.h"

#include <fmt/format.h>

#include <utility>

#include "kiosk/screens/frame.h"
#include "kiosk/screens/review_frame.h"
#include "kiosk/screens/wording.h"

namespace lastlook::screens {

void ReviewBehindScreen::update(const Facts& facts) {
  const ReviewFacts& review = facts.review;
  const bool again = std::exchange(asked_, review.asked) != review.asked;
  if (!review.behind) return;
  if (again || kind_ != review.behind->kind) pager_.reset();
  kind_ = review.behind->kind;
}

void ReviewBehindScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  if (!facts.review.behind) return;
  const BehindFacts& behind = *facts.review.behind;
  const ReviewRoom room = draw_review_frame(canvas, facts, out);
  if (room.back) out.emplace_back(std::in_place_type<ReviewEvent>, ShowBehind{});
  Rect area = room.area;
  draw_answer(canvas, area,
              (*facts.say)("behind.answer", {behind.kind, std::to_string(behind.findings),
                                             std::to_string(behind.units.size())}));
  const float row_h =
      std::max(canvas.size.touch_px, 2 * canvas.line_of(Type::text) + canvas.size.gap_px);
  pager_.draw(canvas, *facts.say, "behind.more", area, behind.units.size(), 2, row_h, row_h,
              [&](std::size_t i, const Rect& cell) {
                draw_unit(canvas, facts, behind.units[i], cell, out);
              });
  draw_notices(canvas, facts, room.area, out);
}

void ReviewBehindScreen::draw_unit(Canvas& canvas, const Facts& facts, const UnitBehind& unit,
                                   const Rect& cell, Requests& out) {
  const text::Strings& say = *facts.say;
  const std::string when = moment(unit.closed_us, facts.now_us, facts.offset_min);
  if (unit.held_back) {
    canvas.card(cell);
    Rect card = cell.inside(canvas.size.pad_px, canvas.size.gap_px * 0.4F);
    const float mark = canvas.size.strong_px;
    canvas.shape(Shape::eye_shut, card.cut_left(mark, canvas.size.gap_px).centre(), mark, Ink::text,
                 Ink::card);
    return canvas.centred(card, say("behind.held_back"), Say::card, Type::text, Align::left);
  }
  const ButtonLook look{
      .text = unit.name,
      .second = say("behind.unit", {when, look_number(say, unit.number),
                                    say("disposition." + std::string(to_word(unit.disposition)))}),
      .shape = look_of(unit.disposition).shape,
      .type = Type::text};
  if (canvas.button("story." + unit.look, cell, look))
    out.emplace_back(std::in_place_type<ReviewEvent>, ShowStory{unit.look});
}

}  // namespace lastlook::screens
