// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/teach_reference.h"

#include "kiosk/screens/frame.h"
#include "kiosk/screens/teach_frame.h"

namespace lastlook::screens {

void TeachReferenceScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  if (!facts.teaching) return;
  const flows::Teaching& now = facts.teaching->at;
  const Rect body = draw_head(canvas, facts, say("teach.title"), now.variant);
  Work work = work_areas(canvas, body, 0);
  const Rect lies = draw_camera(canvas, facts, work.picture);
  draw_notices(canvas, facts, lies.w > 0 ? lies : work.picture, out);
  draw_teach_back(canvas, facts, work.zone, flows::GoToStep{flows::Teaching::Step::home}, out);
  if (facts.teaching->next_picture &&
      canvas.button("teach.next_picture", work.zone.cut_bottom(size.touch_px, size.gap_px),
                    {.kind = Kind::quiet, .text = say("teach.next_picture"), .type = Type::text}))
    out.emplace_back(NextPicture{});
  const Rect take = work.zone.cut_bottom(size.touch_px * 1.3F, size.pad_px);
  canvas.card(work.zone);
  Rect card = work.zone.inside(size.pad_px);
  canvas.paragraph(card, say("teach.reference", {now.variant}), Say::card_lead, Type::strong,
                   size.gap_px);
  canvas.paragraph(card, say("teach.reference_how"), Say::card, Type::text, size.gap_px);
  canvas.aside(card, say("teach.reference_why"), Say::card_quiet, Type::text);
  if (draw_take(canvas, facts, take,
                {.kind = Kind::lead, .text = say("teach.take"), .shape = Shape::eye}) &&
      lies.w > 0)
    ask_for(out, flows::TakeReference{});
}

}  // namespace lastlook::screens
