// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/part.h"

#include <array>

#include "kiosk/screens/frame.h"
#include "kiosk/screens/modal.h"
#include "kiosk/screens/opinion_card.h"
#include "kiosk/screens/wording.h"

namespace lastlook::screens {

void PartScreen::update(const Facts& facts) {
  asked_.clear();
  if (!facts.inspection->challenge.open) return;
  const domain::Master& master = facts.inspection->master;
  const domain::ChallengePart* part = master.challenge_part(facts.inspection->challenge.open->part);
  if (!part) return;
  asked_ = part->faults.empty()
               ? (*facts.say)("part.asked_good", {part->variant})
               : (*facts.say)("part.asked_faulty", {component_names(master, part->faults)});
}

void PartScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  if (!facts.inspection->challenge.open) return;
  const flows::Showing& shown = *facts.inspection->challenge.open;
  canvas.inert(leaving_);
  const Rect body = draw_head(canvas, facts, say("part.title", {shown.part}), shown.variant);
  Work work = work_areas(canvas, body, 0);
  const Rect lies = draw_camera(canvas, facts, work.picture);
  draw_notices(canvas, facts, lies.w > 0 ? lies : work.picture, out);
  const Rect leave = work.zone.cut_bottom(size.touch_px, size.pad_px);
  const Rect card = work.zone.cut_bottom(
      opinion_card_height(canvas, facts, nullptr, domain::Expectation::present, work.zone.w),
      size.pad_px);
  draw_asked(canvas, facts, work.zone);
  if (draw_opinion_card(canvas, facts, nullptr, domain::Expectation::present, card))
    out.emplace_back(LookAgain{});
  if (canvas.button("part.leave", leave,
                    {.kind = Kind::quiet,
                     .text = say("part.leave"),
                     .shape = Shape::back,
                     .type = Type::text}))
    leaving_ = true;
  canvas.inert(false);
  if (leaving_) draw_leave(canvas, facts, out);
}

void PartScreen::draw_asked(Canvas& canvas, const Facts& facts, Rect zone) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  canvas.card(zone);
  Rect card = zone.inside(size.pad_px);
  const float mark = size.huge_px * 1.5F;
  if (card.h > mark + 7 * canvas.line_of(Type::strong)) draw_sign(canvas, card, Shape::eye, mark);
  canvas.paragraph(card, say("part.keep_still"), Say::card_lead, Type::strong, size.gap_px);
  canvas.paragraph(card, asked_, Say::card, Type::text, size.gap_px);
  canvas.aside(card, say("part.not_counted"), Say::card_quiet, Type::text);
}

void PartScreen::draw_leave(Canvas& canvas, const Facts& facts, Requests& out) {
  const text::Strings& say = *facts.say;
  constexpr std::array whys{"scanned_by_mistake", "no_opinion_came", "part_damaged"};
  const std::array choices{
      Choice{"leave.mistake", {.text = say("part_left.scanned_by_mistake"), .type = Type::text}},
      Choice{"leave.no_opinion", {.text = say("part_left.no_opinion_came"), .type = Type::text}},
      Choice{"leave.damaged", {.text = say("part_left.part_damaged"), .type = Type::text}},
      Choice{"leave.back", back_look(say)}};
  const auto chosen = ask(canvas, say("part.leave_title"), say("part.leave_text"), choices);
  if (!chosen) return;
  leaving_ = false;
  if (*chosen < whys.size()) out.emplace_back(flows::Event(flows::LeavePart{whys[*chosen]}));
}

}  // namespace lastlook::screens
