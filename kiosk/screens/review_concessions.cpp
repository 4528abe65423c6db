// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/review_concessions.h"

#include <fmt/format.h>

#include "kiosk/domain/clock.h"
#include "kiosk/screens/frame.h"
#include "kiosk/screens/review_frame.h"
#include "kiosk/screens/wording.h"

namespace lastlook::screens {

void ReviewConcessionsScreen::enter() {
  pager_.reset();
}

void ReviewConcessionsScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const auto& concessions = facts.review.concessions;
  const ReviewRoom room = draw_review_frame(canvas, facts, out);
  if (room.back) out.emplace_back(std::in_place_type<ReviewEvent>, ShowConcessions{false});
  Rect area = room.area;
  if (concessions.empty()) {
    canvas.card(area);
    canvas.centred(area.inside(size.pad_px * 1.2F), say("concessions.none"), Say::card,
                   Type::strong);
    return;
  }
  draw_answer(canvas, area, say("concessions.title"));
  const float row_h = std::max(size.touch_px, 3 * canvas.line_of(Type::text) + size.gap_px);
  pager_.draw(
      canvas, say, "concessions.more", area, concessions.size(), 2, row_h, row_h,
      [&](std::size_t i, const Rect& cell) { draw_one(canvas, facts, concessions[i], cell); });
}

void ReviewConcessionsScreen::draw_one(Canvas& canvas, const Facts& facts,
                                       const domain::Concession& one, const Rect& cell) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const domain::Master& master = facts.inspection->master;
  const domain::ConcessionState state = one.state(facts.now_us);
  canvas.card(cell);
  Rect card = cell.inside(size.pad_px, size.gap_px * 0.4F);
  const Rect mark = card.cut_left(size.huge_px, size.gap_px);
  const bool holds = state == domain::ConcessionState::valid;
  canvas.shape(holds ? Shape::conforming : Shape::parked, mark.centre(), size.huge_px * 0.9F,
               holds ? Ink::good : Ink::quiet, Ink::card);
  card.cut_top((card.h - 3 * canvas.line_of(Type::text)) / 2);
  Rect first = card.cut_top(canvas.line_of(Type::text));
  const std::string used = say(fmt::format("concession_state.{}", to_word(state)),
                               {std::to_string(one.used), std::to_string(one.grant.quantity)});
  canvas.text(first.cut_right(canvas.width_of(used, Type::text) + 2, size.gap_px), used, Say::card,
              Type::text, Align::right);
  canvas.text(first, one.grant.number, Say::card, Type::text);
  canvas.text(
      card.cut_top(canvas.line_of(Type::text)),
      say("concessions.what", {one.grant.variant, component_name(master, one.grant.component),
                               defect_name(master, one.grant.defect)}),
      Say::card_quiet, Type::text);
  canvas.text(card,
              say("concessions.until",
                  {domain::iso_date(domain::local_time(one.grant.expires_us - 1, facts.offset_min)),
                   one.grant.authority}),
              Say::card_quiet, Type::text);
}

}  // namespace lastlook::screens
