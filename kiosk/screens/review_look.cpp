// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/review_look.h"

#include "analytics/interval.h"
#include "kiosk/screens/frame.h"
#include "kiosk/screens/review_frame.h"
#include "kiosk/screens/wording.h"

namespace lastlook::screens {
namespace {

std::string number(std::int64_t value) {
  return std::to_string(value);
}

std::string at_most(const text::Strings& say, std::int64_t hits, std::int64_t units) {
  const auto limit = analytics::exact_upper_limit(hits, units);
  return limit ? percent(say, *limit) : "–";
}

}  // namespace

void ReviewLookScreen::update(const Facts& facts) {
  tell_second_looks(facts);
  tell_proofs(facts);
  tell_camera(facts);
}

void ReviewLookScreen::tell_second_looks(const Facts& facts) {
  const text::Strings& say = *facts.say;
  const auto& [escapes, drawn, field] = facts.review.whole.let_pass;
  second_looks_ = {say("look_works.second_looks"), "", "", "", {}};
  if (field.escaped + field.not_judged > 0)
    second_looks_.lines.push_back(
        {say("look_works.field", {number(field.escaped), number(field.not_judged)}),
         field.escaped > 0 ? Shape::caution : Shape::open,
         field.escaped > 0 ? Ink::warn : Ink::text});
  if (escapes.accepted == 0) {
    answer_ = say("look_works.no_answer");
    second_looks_.text =
        drawn > 0 ? say("look_works.none_done", {number(drawn)}) : say("look_works.none_drawn");
    return;
  }
  answer_ = say("look_works.answer", {number(escapes.escapes), number(escapes.accepted)});
  if (escapes.rate && escapes.at_most) {
    second_looks_.number = percent(say, *escapes.rate);
    second_looks_.text = say("look_works.let_pass_limit", {percent(say, *escapes.at_most)});
  }
  if (drawn > escapes.accepted)
    second_looks_.quiet =
        say("look_works.not_done", {number(drawn - escapes.accepted), number(drawn)});
}

void ReviewLookScreen::tell_proofs(const Facts& facts) {
  const text::Strings& say = *facts.say;
  const reports::ShiftFacts& whole = facts.review.whole;
  proofs_ = {say("look_works.proofs"), "", "", "", {}};
  for (const records::ProofOfShift& proof : whole.proofs) {
    const bool held = proof.state == "held";
    const bool failed = !proof.failures.empty();
    proofs_.lines.push_back({say("look_proof." + proof.state, {proof.variant, number(proof.parts)}),
                             held     ? Shape::conforming
                             : failed ? Shape::nonconforming
                                      : Shape::open,
                             held     ? Ink::good
                             : failed ? Ink::stop
                                      : Ink::text});
  }
  if (whole.proofs.empty()) proofs_.text = say("look_works.no_proof");
  proofs_.quiet = say("proof.no_rate");
}

void ReviewLookScreen::tell_camera(const Facts& facts) {
  const text::Strings& say = *facts.say;
  const reports::ShiftFacts& whole = facts.review.whole;
  const reports::CameraSums& sums = whole.camera_sums;
  camera_ = {say("look_works.camera"), "", "", "", {}};
  if (whole.counts.looks == 0) {
    camera_.text = say("look_works.no_look");
    return;
  }
  camera_.number =
      say("look_works.of", {number(whole.looks_with_opinion), number(whole.counts.looks)});
  camera_.text = say("look_works.with_opinion");
  if (sums.bad > 0)
    camera_.lines.push_back({say("look_works.missed", {number(sums.missed), number(sums.bad),
                                                       at_most(say, sums.missed, sums.bad)}),
                             sums.missed > 0 ? Shape::caution : Shape::conforming,
                             sums.missed > 0 ? Ink::warn : Ink::good});
  if (sums.good > 0)
    camera_.lines.push_back(
        {say("look_works.stopped", {number(sums.false_alarms), number(sums.good)}), Shape::eye});
  if (sums.good + sums.bad > 0)
    camera_.lines.push_back({say("look_works.unsure", {number(sums.good_unsure + sums.bad_unsure),
                                                       number(sums.good + sums.bad)}),
                             Shape::eye_shut});
}

void ReviewLookScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  const ReviewRoom room = draw_review_frame(canvas, facts, out);
  if (room.back) out.emplace_back(ShowReview{false});
  Rect area = room.area;
  draw_answer(canvas, area, answer_);
  const auto cards = cells(area, 3, 1, canvas.size.gap_px);
  draw_witness(canvas, second_looks_, cards[0]);
  Rect middle = cards[1];
  if (!facts.proof.contained.empty() &&
      canvas.button("review.contained", middle.cut_bottom(canvas.size.touch_px, canvas.size.gap_px),
                    {.text = (*facts.say)("look_works.contained",
                                          {number(std::ssize(facts.proof.contained))}),
                     .shape = Shape::hold,
                     .type = Type::text}))
    out.emplace_back(ShowContainment{true});
  draw_witness(canvas, proofs_, middle);
  draw_witness(canvas, camera_, cards[2]);
  draw_notices(canvas, facts, room.area, out);
}

void ReviewLookScreen::draw_witness(Canvas& canvas, const Witness& witness, Rect card) {
  const Sizes& size = canvas.size;
  canvas.card(card);
  Rect rest = card.inside(size.pad_px * 0.8F, size.gap_px);
  canvas.paragraph(rest, witness.title, Say::card_quiet, Type::text, size.gap_px);
  if (!witness.number.empty()) canvas.paragraph(rest, witness.number, Say::card, Type::huge, 0);
  if (!witness.text.empty())
    canvas.paragraph(rest, witness.text, Say::card, Type::text, size.gap_px);
  for (const Line& line : witness.lines) {
    const float mark = size.text_px;
    const float text_w = rest.w - 2 * mark;
    Rect row = rest.cut_top(canvas.height_of(line.text, text_w, Type::text), size.gap_px);
    canvas.shape(line.shape, {row.x + mark / 2, row.y + canvas.line_of(Type::text) / 2}, mark,
                 line.ink, Ink::card);
    row.cut_left(2 * mark);
    canvas.text(row, line.text, Say::card, Type::text);
  }
  canvas.aside(rest, witness.quiet, Say::card_quiet, Type::text);
}

}  // namespace lastlook::screens
