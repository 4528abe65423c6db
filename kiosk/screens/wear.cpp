// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/wear.h"

#include "kiosk/screens/frame.h"
#include "kiosk/screens/marks_painter.h"

namespace lastlook::screens {

void WearScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  if (!facts.proof.wear) return;
  const Rect body = draw_head(canvas, facts, say("wear.title"), facts.proof.wear->part);
  Work work = work_areas(canvas, body, 0);
  draw_chart(canvas, facts, work.picture);
  const Rect back = work.zone.cut_bottom(size.touch_px, size.pad_px);
  const auto& parts = facts.inspection->master.challenge_parts;
  pager_.draw(
      canvas, say, "wear.more", work.zone, parts.size(), 1, size.touch_px, size.touch_px * 1.2F,
      [&](std::size_t i, const Rect& cell) {
        const domain::ChallengePart& part = parts[i];
        const ButtonLook look{
            .text = part.serial,
            .second = say(part.faults.empty() ? "wear.good" : "wear.faulty", {part.variant}),
            .shape = part.faults.empty() ? Shape::conforming : Shape::nonconforming,
            .type = Type::text,
            .chosen = part.serial == facts.proof.wear->part};
        if (canvas.button("wear." + part.serial, cell, look))
          out.emplace_back(ShowWear{part.serial});
      });
  if (canvas.button("wear.back", back,
                    {.kind = Kind::lead, .text = say("review.back"), .shape = Shape::back}))
    out.emplace_back(ShowWear{});
}

void WearScreen::draw_chart(Canvas& canvas, const Facts& facts, Rect area) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  canvas.card(area);
  Rect card = area.inside(size.pad_px * 1.2F, size.pad_px);
  canvas.paragraph(card, say("wear.question"), Say::card, Type::strong, size.gap_px * 0.5F);
  const std::string note = say("wear.note");
  const Rect foot = card.cut_bottom(canvas.height_of(note, card.w, Type::text), size.gap_px);
  canvas.text(foot, note, Say::card_quiet, Type::text);
  if (chart_w_ != card.w || chart_h_ != card.h) {
    chart_ = analytics::score_track(facts.proof.wear->points,
                                    {{card.w, card.h, size.text_px, ""}, say("wear.none")},
                                    FontMeasure(canvas.fonts()));
    chart_w_ = card.w;
    chart_h_ = card.h;
  }
  paint(canvas, chart_, {card.x, card.y});
}

}  // namespace lastlook::screens
