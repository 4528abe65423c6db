// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/review_shifts.h"

#include <fmt/format.h>

#include "kiosk/screens/frame.h"
#include "kiosk/screens/wording.h"

namespace lastlook::screens {

void ReviewShiftsScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const auto& shifts = facts.review.shifts;
  Rect area = draw_head(canvas, facts, say("shifts.title"), say("shifts.head", {facts.station}));
  Rect foot = area.cut_bottom(size.touch_px, size.gap_px);
  const float back_w = area.w / 4;
  const Rect back = canvas.left_handed ? foot.cut_left(back_w) : foot.cut_right(back_w);
  if (canvas.button("shifts.back", back,
                    {.kind = Kind::lead, .text = say("review.back"), .shape = Shape::back}))
    out.emplace_back(std::in_place_type<ReviewEvent>, ShowShifts{false});
  const float row_h = std::max(
      size.touch_px, canvas.line_of(Type::strong) + canvas.line_of(Type::text) + 2 * size.gap_px);
  pager_.draw(
      canvas, say, "shifts.more", area, shifts.size(), 2, row_h, row_h,
      [&](std::size_t i, const Rect& cell) { draw_shift(canvas, facts, shifts[i], cell, out); });
  draw_notices(canvas, facts, area, out);
}

void ReviewShiftsScreen::draw_shift(Canvas& canvas, const Facts& facts, const ShiftOnFile& shift,
                                    Rect cell, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const bool chosen = shift.which == facts.review.which;
  canvas.card(cell);
  canvas.outline(cell, chosen ? Ink::lead : Ink::edge, chosen ? 4.0F : 1.5F, size.round_px);
  if (canvas.target(fmt::format("shift.{}.{}", shift.which.production_date, shift.which.shift),
                    cell))
    out.emplace_back(std::in_place_type<ReviewEvent>, AskShift{shift.which});
  Rect card = cell.inside(size.pad_px, size.gap_px * 0.4F);
  card.cut_top((card.h - canvas.line_of(Type::strong) - canvas.line_of(Type::text)) / 2);
  Rect first = card.cut_top(canvas.line_of(Type::strong));
  const std::string& date = shift.which.production_date;
  canvas.centred(first.cut_right(canvas.width_of(date, Type::text) + 2, size.gap_px), date,
                 Say::card, Type::text, Align::right);
  canvas.centred(first, shift.name, Say::card, Type::strong, Align::left);
  const records::LookCounts& counts = shift.counts;
  const std::string units =
      say("shifts.units", {std::to_string(counts.first_looks), std::to_string(counts.first_pass)});
  canvas.text(card, shift.runs ? say("shifts.runs") + " · " + units : units, Say::card_quiet,
              Type::text);
}

}  // namespace lastlook::screens
