// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/help.h"

#include "kiosk/screens/frame.h"
#include "kiosk/screens/wording.h"

namespace lastlook::screens {

void HelpScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  if (!facts.help) return;
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const Rect body = draw_head(canvas, facts, say("waiting.station", {facts.station}));
  Work work = work_areas(canvas, body, 0);
  canvas.fill(work.picture, Ink::must, size.round_px * 1.5F);
  Rect field = work.picture.inside(size.pad_px * 2);
  const float mark = std::min(field.h * 0.42F, field.w * 0.5F);
  field.cut_top((field.h - mark - 4.5F * size.huge_px) / 2);
  canvas.shape(Shape::help, field.cut_top(mark, size.pad_px * 1.5F).centre(), mark, Ink::on_must,
               Ink::must);
  canvas.text(field.cut_top(canvas.line_of(Type::huge), size.gap_px), say("help.title"),
              Say::on_must, Type::huge, Align::middle);
  const std::string& who = facts.inspection->master.help;
  canvas.text(field,
              say("help.since", {moment(facts.help->called_us, facts.now_us, facts.offset_min),
                                 age(say, facts.help->called_us, facts.now_us)}) +
                  (who.empty() ? "" : "\n" + say("help.who", {who})),
              Say::on_must, Type::strong, Align::middle);
  const Rect on = work.zone.cut_bottom(size.touch_px, size.gap_px);
  const Rect here = work.zone.cut_bottom(size.touch_px * 1.35F, size.pad_px);
  canvas.card(work.zone);
  Rect card = work.zone.inside(size.pad_px);
  canvas.paragraph(card, say("help.unit_stays"), Say::card_lead, Type::strong, size.gap_px);
  canvas.aside(card, say("help.danger"), Say::card_quiet, Type::text);
  if (canvas.button("help.here", here, {.kind = Kind::lead, .text = say("help.here")}))
    out.emplace_back(flows::Event(flows::HelpIsHere{}));
  if (canvas.button("help.on", on,
                    {.kind = Kind::quiet, .text = say("help.on"), .type = Type::text}))
    out.emplace_back(ShowHelp{false});
}

}  // namespace lastlook::screens
