// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/review_waiting.h"

#include <fmt/format.h>

#include <array>
#include <utility>

#include "kiosk/screens/frame.h"
#include "kiosk/screens/review_frame.h"
#include "kiosk/screens/wording.h"

namespace lastlook::screens {

void ReviewWaitingScreen::update(const Facts& facts) {
  const text::Strings& say = *facts.say;
  if (std::exchange(asked_, facts.review.asked) != facts.review.asked) pager_.reset();
  std::array<std::size_t, all_waits.size()> counts{};
  for (const records::WaitingUnit& unit : facts.review.waiting)
    ++counts[static_cast<std::size_t>(waits_as(unit))];
  answer_.clear();
  for (const Waits waits : all_waits)
    if (const std::size_t n = counts[static_cast<std::size_t>(waits)]; n > 0)
      answer_ += (answer_.empty() ? "" : " · ") +
                 say(fmt::format("waits_count.{}", to_word(waits)), {std::to_string(n)});
}

void ReviewWaitingScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const auto& waiting = facts.review.waiting;
  const ReviewRoom room = draw_review_frame(canvas, facts, out);
  if (room.back) out.emplace_back(ShowReview{false});
  Rect area = room.area;
  if (waiting.empty()) {
    canvas.card(area);
    Rect card = area.inside(size.pad_px * 2);
    Rect words = card.cut_bottom(card.h / 2);
    canvas.shape(Shape::conforming, {card.centre().x, card.bottom() - size.huge_px},
                 size.huge_px * 1.7F, Ink::good, Ink::card);
    canvas.text(words, say("review.nothing_waits"), Say::card, Type::strong, Align::middle);
  } else {
    draw_answer(canvas, area, answer_);
    const float row_h = std::max(size.touch_px, 2 * canvas.line_of(Type::text) + size.gap_px);
    pager_.draw(
        canvas, say, "waiting.more", area, waiting.size(), 2, row_h, row_h,
        [&](std::size_t i, const Rect& cell) { draw_unit(canvas, facts, waiting[i], cell, out); });
  }
  draw_notices(canvas, facts, room.area, out);
}

void ReviewWaitingScreen::draw_unit(Canvas& canvas, const Facts& facts,
                                    const records::WaitingUnit& unit, Rect cell, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const Waits waits = waits_as(unit);
  // What was said at its first look is nobody's before the second one is done.
  const bool told = waits != Waits::second_look;
  canvas.card(cell);
  if (told) canvas.outline(cell, Ink::edge, 1.5F, size.round_px);
  if (told && canvas.target("story." + unit.look, cell))
    out.emplace_back(std::in_place_type<ReviewEvent>, ShowStory{unit.look});
  Rect card = cell.inside(size.pad_px, size.gap_px * 0.4F);
  const Rect mark = card.cut_left(size.huge_px, size.gap_px);
  canvas.shape(shape_of(waits), mark.centre(), size.huge_px * 0.9F,
               waits == Waits::on_hold ? Ink::must : Ink::text, Ink::card);
  card.cut_top((card.h - 2 * canvas.line_of(Type::text)) / 2);
  Rect first = card.cut_top(canvas.line_of(Type::text));
  const std::string since = age(say, unit.since_us, facts.now_us);
  canvas.text(first.cut_right(canvas.width_of(since, Type::text) + 2, size.gap_px), since,
              Say::card, Type::text, Align::right);
  canvas.text(first, unit.serial.empty() ? unit.ticket : unit.serial, Say::card, Type::text);
  canvas.text(card, say((unit.parked ? "park_reason." : "hold_reason.") + unit.why),
              Say::card_quiet, Type::text);
}

}  // namespace lastlook::screens
