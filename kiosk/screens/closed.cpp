// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/closed.h"

#include <array>

#include "kiosk/screens/frame.h"
#include "kiosk/screens/modal.h"
#include "kiosk/screens/wording.h"

namespace lastlook::screens {

using domain::Disposition;

namespace {

// What is to be done with the unit now. A unit that is held back carries no sign of what was
// decided, and after a second look only the supervisor is told what both came to.
struct Order {
  DispositionLook look;
  std::string words;   // of "closed.<words>" and "closed_do.<words>"
  bool stays = false;  // the unit does not go on
};

Order order_of(const flows::ClosedLook& last) {
  if (last.is_second) return {{Shape::conforming, Kind::lead}, "second_look"};
  if (last.held_back) return {{Shape::parked, Kind::must}, "held_back"};
  return {look_of(last.disposition), std::string(to_word(last.disposition)),
          last.disposition != Disposition::accept};
}

}  // namespace

void ClosedScreen::enter() {
  correcting_ = false;
  corrected_to_.reset();
}

void ClosedScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  if (!facts.inspection->last) return;
  const flows::ClosedLook& last = *facts.inspection->last;
  canvas.inert(correcting_);
  const Rect body = draw_head(canvas, facts, unit_name(last));
  const Work work = work_areas(canvas, body, 0);
  const auto& [look, word, stays] = order_of(last);
  const Say on = say_on(look.kind);
  canvas.fill(work.picture, pair_of(on).ground, size.round_px * 1.5F);
  // Told out of the corner of an eye, without its colour: what does not go on has a broad border.
  if (stays)
    canvas.outline(work.picture.inside(size.pad_px), pair_of(on).text, size.gap_px, size.round_px);
  Rect field = work.picture.inside(size.pad_px * 2);
  const float mark = std::min(field.h * 0.42F, field.w * 0.5F);
  field.cut_top((field.h - mark - 4.5F * size.huge_px) / 2);
  canvas.shape(look.shape, field.cut_top(mark, size.pad_px * 1.5F).centre(), mark, pair_of(on).text,
               pair_of(on).ground);
  const Rect title = field.cut_top(canvas.line_of(Type::huge), size.gap_px);
  canvas.text(title, say("closed." + word), on, Type::huge, Align::middle);
  canvas.text(field, say("closed_do." + word), on, Type::strong, Align::middle);
  draw_notices(canvas, facts, work.picture, out);
  draw_hands(canvas, facts, work.zone, out);
  canvas.inert(false);
  if (correcting_) draw_modal(canvas, facts, out);
}

void ClosedScreen::draw_hands(Canvas& canvas, const Facts& facts, Rect zone, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const bool is_second = facts.inspection->last->is_second;  // what it said stands
  const Rect correct = is_second ? Rect{} : zone.cut_bottom(size.touch_px, size.gap_px);
  const Rect next = zone.cut_bottom(size.touch_px * 1.35F, size.pad_px);
  canvas.card(zone);
  Rect card = zone.inside(size.pad_px);
  const float mark = std::min(size.huge_px * 1.7F, card.h * 0.3F);
  draw_sign(canvas, card, Shape::scan, mark);
  canvas.paragraph(card, say("closed.scan_next"), Say::card_lead, Type::huge, size.gap_px);
  canvas.aside(card, say("closed.stays"), Say::card_quiet, Type::text);
  if (canvas.button("next_unit", next, {.kind = Kind::lead, .text = say("closed.next")}))
    out.emplace_back(NextUnit{});
  if (!is_second &&
      canvas.button("correct", correct,
                    {.kind = Kind::quiet, .text = say("closed.correct"), .type = Type::text}))
    correcting_ = true;
}

void ClosedScreen::draw_modal(Canvas& canvas, const Facts& facts, Requests& out) {
  const text::Strings& say = *facts.say;
  const flows::ClosedLook& last = *facts.inspection->last;
  const Choice back{"correct.back",
                    {.kind = Kind::quiet, .text = say("ask.back"), .shape = Shape::back}};
  if (!corrected_to_) {
    std::vector<Choice> choices;
    std::vector<Disposition> to;
    for (const Disposition d : {Disposition::hold, Disposition::rework, Disposition::scrap}) {
      if (d == last.disposition) continue;
      to.push_back(d);
      choices.push_back({"correct." + std::string(to_word(d)),
                         {.kind = look_of(d).kind,
                          .text = say("decide." + std::string(to_word(d))),
                          .shape = look_of(d).shape}});
    }
    choices.push_back(back);
    const auto chosen = ask(canvas, say("correct.title"), say("correct.text"), choices);
    if (chosen && *chosen < to.size()) corrected_to_ = to[*chosen];
    if (chosen && *chosen == to.size()) correcting_ = false;
    return;
  }
  const std::array choices{
      Choice{"correct.touched_wrongly", {.text = say("correct.touched_wrongly")}},
      Choice{"correct.seen_later", {.text = say("correct.seen_later")}}, back};
  const auto chosen = ask(canvas, say("correct.why"), "", choices);
  if (!chosen) return;
  if (*chosen < 2)
    out.emplace_back(flows::Event(flows::CorrectDisposition{
        last.look, *corrected_to_, *chosen == 0 ? "touched_wrongly" : "seen_later"}));
  enter();
}

}  // namespace lastlook::screens
