// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/teach_learn.h"

#include "kiosk/screens/frame.h"
#include "kiosk/screens/teach_frame.h"

namespace lastlook::screens {

void TeachLearnScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  if (!facts.teaching) return;
  const flows::Teaching& now = facts.teaching->at;
  const Rect body = draw_head(canvas, facts, say("teach.title"), now.variant);
  Work work = work_areas(canvas, body, 0);
  canvas.card(work.picture);
  Rect card = work.picture.inside(size.pad_px * 2);
  card.cut_top(card.h * 0.25F);
  canvas.paragraph(card, say("teach.learning"), Say::card_lead, Type::huge, size.pad_px);
  Rect bar = card.cut_top(size.strong_px, size.pad_px);
  canvas.fill(bar, Ink::sunk, size.round_px);
  if (now.total > 0) {
    bar.w *= std::min(1.0F, static_cast<float>(now.done) / static_cast<float>(now.total));
    if (bar.w > 1) canvas.fill(bar, Ink::lead, size.round_px);
    canvas.paragraph(
        card, say("teach.learning_at", {std::to_string(now.done), std::to_string(now.total)}),
        Say::card, Type::text, size.gap_px);
  }
  const Rect stop = work.zone.cut_bottom(size.touch_px, size.pad_px);
  canvas.card(work.zone);
  Rect words = work.zone.inside(size.pad_px);
  canvas.paragraph(words, say("teach.learning_how"), Say::card, Type::text, size.gap_px);
  canvas.aside(words, say("teach.learning_old"), Say::card_quiet, Type::text);
  if (canvas.button("teach.stop", stop, {.text = say("teach.stop"), .type = Type::text}))
    ask_for(out, flows::StopLearning{});
  draw_notices(canvas, facts, work.picture, out);
}

}  // namespace lastlook::screens
