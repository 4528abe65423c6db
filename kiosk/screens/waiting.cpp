// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/waiting.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "kiosk/screens/frame.h"
#include "kiosk/screens/modal.h"
#include "kiosk/screens/proofs.h"
#include "kiosk/screens/reaction.h"
#include "kiosk/screens/study_rate.h"
#include "kiosk/screens/wording.h"

namespace lastlook::screens {
namespace {

std::string shift_line(const Facts& facts) {
  const records::LookCounts& n = facts.shift;
  return (*facts.say)("waiting.shift",
                      {std::to_string(n.looks), std::to_string(n.accept), std::to_string(n.rework),
                       std::to_string(n.hold), std::to_string(n.scrap)});
}

}  // namespace

void WaitingScreen::enter() {
  keypad_.close();
  asking_no_tag_ = asking_leave_ = false;
  pager_.reset();
}

void WaitingScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  canvas.inert(keypad_.is_open() || asking_no_tag_ || asking_leave_);
  const Rect body =
      draw_head(canvas, facts, say("waiting.title"), say("waiting.station", {facts.station}));
  const bool parked = !facts.inspection->parked.empty();
  const bool reacting = !facts.reactions.empty();
  const auto proof = proof_line(facts);
  const bool studies = study_to_rate(facts) || !facts.study.results.empty();
  const float row_h = size.gap_px + size.touch_px;
  const float line_h = canvas.line_of(Type::text);
  const auto height_of = [&](const std::string& sentence) {
    return sentence.empty()
               ? 0.0F
               : canvas.height_of(sentence, work_areas(canvas, body, 0).picture.w, Type::text) +
                     size.gap_px;
  };
  const std::string sending = facts.sending ? worded(say, *facts.sending) : "";
  const std::string room = facts.room ? worded(say, *facts.room) : "";
  const std::string shift = shift_line(facts);
  const float sentences_h = height_of(shift) + height_of(sending) + height_of(room);
  const bool held_back = facts.second_looks_waiting > 0;
  const float lines_h = held_back ? line_h + size.gap_px : 0;
  Work work = work_areas(canvas, body,
                         lines_h + sentences_h + (parked ? row_h : 0) + (proof ? row_h : 0) +
                             (studies ? row_h : 0) + (reacting ? row_h : 0));
  const Rect lies = draw_camera(canvas, facts, work.picture);
  draw_notices(canvas, facts, lies.w > 0 ? lies : work.picture, out);
  canvas.paragraph(work.strip, shift, Say::quiet, Type::text, size.gap_px);
  if (held_back)
    canvas.centred(work.strip.cut_top(line_h, size.gap_px),
                   say("waiting.second_looks", {std::to_string(facts.second_looks_waiting)}),
                   Say::body, Type::text, Align::left);
  if (!room.empty()) canvas.paragraph(work.strip, room, Say::body, Type::text, size.gap_px);
  if (facts.sending)
    canvas.paragraph(work.strip, sending, facts.sending->trouble.empty() ? Say::quiet : Say::body,
                     Type::text, size.gap_px);
  if (proof) {
    const ButtonLook card{.kind = proof->kind,
                          .text = proof->text,
                          .second = proof->second,
                          .shape = proof->shape,
                          .type = Type::text};
    if (canvas.button("proofs", work.strip.cut_top(size.touch_px, size.gap_px), card))
      out.emplace_back(ShowProofs{true});
  }
  if (studies) draw_study(canvas, facts, work.strip.cut_top(size.touch_px, size.gap_px), out);
  if (reacting) {
    const domain::Reaction& newest = facts.reactions.front();
    const ButtonLook look{.kind = Kind::warn,
                          .text = name_of(facts, newest),
                          .second = say("reaction.open", {std::to_string(facts.reactions.size())}),
                          .shape = Shape::caution,
                          .type = Type::text};
    if (canvas.button("reaction", work.strip.cut_top(size.touch_px, size.gap_px), look))
      out.emplace_back(ShowReaction{newest.reaction});
  }
  if (parked) draw_parked(canvas, facts, work.strip, out);
  draw_ways_out(canvas, facts, work.zone.cut_bottom(size.touch_px, size.pad_px), out);
  draw_ways_in(canvas, facts, work.zone, out);
  draw_modal(canvas, facts, out);
}

// What there is to rate, or for the quality engineer what was rated.
void WaitingScreen::draw_study(Canvas& canvas, const Facts& facts, const Rect& row, Requests& out) {
  const text::Strings& say = *facts.say;
  if (const StudyTask* task = study_to_rate(facts)) {
    const auto& [plan, turn] = *task;
    const ButtonLook look{
        .text = say(turn.done == 0 ? "study.begin" : "study.go_on", {plan.title}),
        .second = say("study.left", {std::to_string(turn.trial), std::to_string(plan.trials),
                                     std::to_string(plan.items.size() - turn.done)}),
        .shape = Shape::eye,
        .type = Type::text};
    if (canvas.button("study.rate", row, look)) out.emplace_back(RateStudy{plan.study});
    return;
  }
  const ButtonLook look{.text = say("study.results"),
                        .second = facts.study.results.front().title,
                        .shape = Shape::bars,
                        .type = Type::text};
  if (canvas.button("study.show", row, look))
    out.emplace_back(ShowStudy{facts.study.results.front().study});
}

void WaitingScreen::draw_ways_in(Canvas& canvas, const Facts& facts, Rect zone, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  if (!domain::may(facts.inspection->role, domain::Right::inspect)) {
    canvas.card(zone);
    Rect card = zone.inside(size.pad_px);
    canvas.paragraph(card, say("waiting.administrator"), Say::card_lead, Type::strong,
                     size.gap_px * 0.5F);
    return canvas.aside(card, say("waiting.administrator_how"), Say::card_quiet, Type::text);
  }
  const Rect no_tag = zone.cut_bottom(size.touch_px, size.gap_px);
  const Rect typed = zone.cut_bottom(size.touch_px, size.pad_px);
  canvas.card(zone);
  Rect card = zone.inside(size.pad_px);
  if (!facts.camera.offered_code.empty()) {
    const Rect offer = card.cut_bottom(std::max(size.touch_px, 5 * size.text_px), size.gap_px);
    const ButtonLook look{
        .kind = Kind::lead, .text = facts.camera.offered_code, .second = say("waiting.offered")};
    if (canvas.button("offered", offer, look))
      out.emplace_back(flows::Event(flows::Scan{facts.camera.offered_code}));
  }
  const float mark = size.huge_px * 1.7F;
  if (card.h > mark + size.gap_px + canvas.line_of(Type::huge))
    draw_sign(canvas, card, Shape::scan, mark);
  canvas.paragraph(card, say("waiting.scan"), Say::card_lead, Type::huge, size.gap_px * 0.5F);
  canvas.aside(card, say("waiting.scan_how"), Say::card_quiet, Type::text);
  if (canvas.button("type_serial", typed, {.text = say("waiting.type"), .shape = Shape::keys}))
    keypad_.open(say("waiting.type_title"));
  if (canvas.button("no_tag", no_tag, {.text = say("waiting.no_tag"), .shape = Shape::no_tag}))
    asking_no_tag_ = true;
}

void WaitingScreen::draw_ways_out(Canvas& canvas, const Facts& facts, const Rect& row,
                                  Requests& out) {
  const text::Strings& say = *facts.say;
  const bool teaches = facts.teaching && facts.inspection->role == domain::Role::quality_engineer;
  // Who teaches is who would be called.
  const Sizes& size = canvas.size;
  const bool help = !teaches || row.w >= 6 * size.touch_px;
  const auto grid = cells(row, 2 + (teaches ? 1 : 0) + (help ? 1 : 0), 1, size.gap_px);
  const auto look = [&](std::string text) {
    return ButtonLook{.kind = Kind::quiet, .text = std::move(text), .type = Type::text};
  };
  if (help && canvas.button("help", grid[teaches ? 2 : 1], look(say("help.call"))))
    out.emplace_back(flows::Event(flows::CallHelp{}));
  if (canvas.button("review", grid.front(), look(say("waiting.review"))))
    out.emplace_back(ShowReview{true});
  if (teaches && canvas.button("teach", grid[1], look(say("teach.open"))))
    out.emplace_back(flows::TeachEvent(flows::OpenTeaching{}));
  if (canvas.button("sign_out", grid.back(), look(say("waiting.sign_out")))) asking_leave_ = true;
}

void WaitingScreen::draw_parked(Canvas& canvas, const Facts& facts, const Rect& area,
                                Requests& out) {
  const auto& parked = facts.inspection->parked;
  const text::Strings& say = *facts.say;
  const int columns = canvas.size.touch_px * 7 < area.w ? 3 : 2;
  pager_.draw(canvas, say, "parked.more", area, parked.size(), columns, area.h, area.h,
              [&](std::size_t i, const Rect& cell) {
                const flows::OpenLook& look = parked[i];
                const auto reason = look.parked ? look.parked->reason : domain::ParkReason::other;
                const ButtonLook tile{.text = unit_name(look.opened),
                                      .second = say(fmt::format("park_reason.{}", to_word(reason))),
                                      .shape = Shape::parked,
                                      .type = Type::text};
                if (canvas.button("resume." + look.opened.look, cell, tile))
                  out.emplace_back(flows::Event(flows::Resume{look.opened.look}));
              });
}

void WaitingScreen::draw_modal(Canvas& canvas, const Facts& facts, Requests& out) {
  const text::Strings& say = *facts.say;
  canvas.inert(false);
  if (const auto typed = keypad_.draw(canvas, say))
    out.emplace_back(flows::Event(flows::Scan{*typed, true}));
  const ButtonLook back{.text = say("ask.back"), .shape = Shape::back};
  if (asking_no_tag_) {
    const std::array choices{
        Choice{"no_tag.yes", {.kind = Kind::must, .text = say("no_tag.yes"), .shape = Shape::hold}},
        Choice{"no_tag.back", back}};
    const auto chosen = ask(canvas, say("no_tag.title"), say("no_tag.text"), choices);
    if (chosen) asking_no_tag_ = false;
    if (chosen == 0U) out.emplace_back(flows::Event(flows::NoReadableTag{}));
  }
  if (asking_leave_) {
    const std::array choices{
        Choice{"leave.yes", {.kind = Kind::lead, .text = say("leave.yes"), .shape = Shape::leave}},
        Choice{"leave.back", back}};
    const auto chosen = ask(canvas, say("leave.title"), shift_line(facts), choices);
    if (chosen) asking_leave_ = false;
    if (chosen == 0U) out.emplace_back(flows::Event(flows::SignOut{}));
  }
}

}  // namespace lastlook::screens
