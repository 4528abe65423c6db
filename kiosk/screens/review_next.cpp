// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/review_next.h"

#include "kiosk/reports/shift_words.h"
#include "kiosk/screens/frame.h"
#include "kiosk/screens/review_frame.h"
#include "kiosk/screens/text_layout.h"
#include "kiosk/screens/wording.h"

namespace lastlook::screens {

void ReviewNextScreen::update(const Facts& facts) {
  sentences_ = reports::next_answers(facts.review.whole, *facts.say);
  if (facts.room && facts.room->level() != records::RoomLevel::enough)
    sentences_.push_back(worded(*facts.say, *facts.room));
  if (facts.sending) sentences_.push_back(worded(*facts.say, *facts.sending));
}

void ReviewNextScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  canvas.inert(keypad_.is_open());
  const ReviewRoom room = draw_review_frame(canvas, facts, out);
  if (room.back) out.emplace_back(ShowReview{false});
  const Work work = work_areas(canvas, room.area, 0);
  canvas.card(work.picture);
  draw_sentences(canvas, facts, work.picture.inside(canvas.size.pad_px));
  draw_zone(canvas, facts, work.zone, out);
  draw_notices(canvas, facts, room.area, out);
  canvas.inert(false);
  if (const auto note = keypad_.draw(canvas, *facts.say))
    out.emplace_back(flows::Event(flows::LeaveNote{*note}));
}

void ReviewNextScreen::draw_sentences(Canvas& canvas, const Facts& facts, Rect card) {
  const Sizes& size = canvas.size;
  const float mark = size.strong_px * 0.8F;
  const float text_w = card.w - 1.6F * mark;
  const float more_h = canvas.line_of(Type::text);
  for (std::size_t i = 0; i < sentences_.size(); ++i) {
    const float row_h = canvas.height_of(sentences_[i], text_w, Type::strong);
    const bool last = i + 1 == sentences_.size();
    if (card.h < row_h + (last ? 0 : more_h + size.gap_px)) {
      canvas.text(card, (*facts.say)("verdict.more", {std::to_string(sentences_.size() - i)}),
                  Say::card_quiet, Type::text);
      return;
    }
    Rect row = card.cut_top(row_h, size.gap_px);
    canvas.shape(Shape::place, {row.x + mark / 2, row.y + canvas.line_of(Type::strong) / 2}, mark,
                 Ink::lead, Ink::card);
    row.cut_left(1.6F * mark);
    canvas.text(row, sentences_[i], Say::card, Type::strong);
  }
}

void ReviewNextScreen::draw_zone(Canvas& canvas, const Facts& facts, Rect zone, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const PageFacts& page = facts.review.page;
  const Rect touch = zone.cut_bottom(size.touch_px * 1.2F, size.gap_px);
  // Halves, but for a word that needs more.
  Rect note = zone.cut_bottom(size.touch_px, size.gap_px);
  const Width width = [&](std::string_view word) { return canvas.width_of(word, Type::text); };
  const float needed = widest_word(say("concessions.open"), width) + 2 * size.pad_px + 2;
  const Rect concessions =
      note.cut_right(std::max((note.w - size.gap_px) / 2, needed), size.gap_px);
  if (canvas.button("review.note", note, {.text = say("next.note"), .type = Type::text}))
    keypad_.open(say("next.note_title"), Keypad::For::words);
  if (canvas.button("concessions", concessions,
                    {.text = say("concessions.open"), .type = Type::text}))
    out.emplace_back(std::in_place_type<ReviewEvent>, ShowConcessions{true});
  if (canvas.button("review.report", touch,
                    {.kind = Kind::plain,
                     .text = say("next.report"),
                     .second = say(page.being_written ? "next.report_runs" : "next.report_what"),
                     .shape = Shape::bars}) &&
      !page.being_written)
    out.emplace_back(std::in_place_type<ReviewEvent>, WriteReport{});
  canvas.card(zone);
  Rect card = zone.inside(size.pad_px, size.gap_px);
  if (page.written.empty())
    return canvas.aside(card, say("next.report_has"), Say::card_quiet, Type::text);
  canvas.paragraph(card, say("next.written"), Say::card_good, Type::strong, size.gap_px * 0.5F);
  canvas.text(card, page.written, Say::card, Type::text);
}

}  // namespace lastlook::screens
