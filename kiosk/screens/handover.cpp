// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/handover.h"

#include "kiosk/screens/frame.h"
#include "kiosk/screens/wording.h"

namespace lastlook::screens {

void HandoverScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  Rect area = draw_head(canvas, facts, say("handover.title"), say("handover.head"));
  Rect foot = area.cut_bottom(size.touch_px, size.pad_px);
  const float w = std::min(foot.w, size.touch_px * 4);
  const Rect go = canvas.left_handed ? foot.cut_left(w) : foot.cut_right(w);
  if (canvas.button("handover.go", go, {.kind = Kind::lead, .text = say("start.go")}))
    out.emplace_back(HandoverSeen{});
  const float row_h = 3 * canvas.line_of(Type::text) + 2 * size.gap_px;
  pager_.draw(canvas, say, "handover.more", area, facts.handover.size(), 1, row_h, row_h,
              [&](std::size_t i, const Rect& cell) {
                const records::HandoverNote& note = facts.handover[i];
                canvas.card(cell);
                Rect card = cell.inside(size.pad_px, size.gap_px);
                const std::string when = moment(note.noted_us, facts.now_us, facts.offset_min);
                canvas.text(card.cut_right(canvas.width_of(when, Type::text) + 2, size.pad_px),
                            when, Say::card_quiet, Type::text, Align::right);
                canvas.text(card, note.note, Say::card, Type::strong);
              });
  draw_notices(canvas, facts, area, out);
}

}  // namespace lastlook::screens
