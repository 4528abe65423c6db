// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/review.h"

#include <fmt/format.h>

#include "analytics/pareto_chart.h"
#include "kiosk/screens/frame.h"
#include "kiosk/screens/marks_painter.h"
#include "kiosk/screens/wording.h"

namespace lastlook::screens {

void ReviewScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const Rect body = draw_head(
      canvas, facts, say("review.title"),
      say("review.period", {facts.review.production_date, facts.review.shift, facts.station}));
  Work work = work_areas(canvas, body, 0);
  draw_chart(canvas, facts, work.picture);
  const Rect back = work.zone.cut_bottom(size.touch_px, size.pad_px);
  draw_yield(canvas, facts, work.zone.cut_top(work.zone.h * 0.44F, size.gap_px));
  draw_waiting(canvas, facts, work.zone);
  if (canvas.button("review.back", back,
                    {.kind = Kind::lead, .text = say("review.back"), .shape = Shape::back}))
    out.emplace_back(ShowReview{false});
}

void ReviewScreen::draw_chart(Canvas& canvas, const Facts& facts, Rect area) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  canvas.card(area);
  Rect card = area.inside(size.pad_px * 1.2F, size.pad_px);
  canvas.paragraph(card, say("review.most"), Say::card, Type::strong, size.gap_px);
  if (facts.review.defects.total == 0)
    return void(canvas.text(card, say("review.no_findings"), Say::card_quiet, Type::text));
  if (chart_w_ != card.w || chart_h_ != card.h) {
    const analytics::ChartFrame frame{card.w, card.h, size.text_px, ""};
    chart_ = analytics::pareto_chart(
        facts.review.defects,
        {frame, say(facts.review.defects.total == 1 ? "review.counted_one" : "review.counted")},
        FontMeasure(canvas.fonts()));
    chart_w_ = card.w;
    chart_h_ = card.h;
  }
  paint(canvas, chart_, {card.x, card.y});
}

void ReviewScreen::draw_yield(Canvas& canvas, const Facts& facts, Rect area) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const ReviewFacts& review = facts.review;
  canvas.card(area);
  Rect card = area.inside(size.pad_px, size.gap_px);
  canvas.paragraph(card, say("review.first_pass"), Say::card_quiet, Type::text, 0);
  if (!review.first_pass)
    return void(canvas.text(card, say("review.none_yet"), Say::card, Type::strong));
  const analytics::Rate& rate = *review.first_pass;
  const auto percent = [](double value) { return fmt::format("{:.0f}\u00a0%", 100 * value); };
  canvas.paragraph(card, percent(rate.value), Say::card, Type::huge, 0);
  canvas.text(card,
              say("review.first_pass_words", {std::to_string(rate.hits), std::to_string(rate.units),
                                              percent(rate.limits.low), percent(rate.limits.high)}),
              Say::card_quiet, Type::text);
}

void ReviewScreen::draw_waiting(Canvas& canvas, const Facts& facts, Rect area) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const auto& waiting = facts.review.waiting;
  canvas.card(area);
  Rect card = area.inside(size.pad_px, size.gap_px);
  canvas.paragraph(card, say("review.waiting", {std::to_string(waiting.size())}), Say::card,
                   Type::strong, size.gap_px * 0.5F);
  if (waiting.empty())
    return void(canvas.text(card, say("review.nothing_waits"), Say::card_quiet, Type::text));
  const float row_h = 2 * canvas.line_of(Type::text) + size.gap_px * 0.5F;
  const float more_h = canvas.line_of(Type::text);
  for (std::size_t i = 0; i < waiting.size(); ++i) {
    const bool last = i + 1 == waiting.size();
    if (card.h < row_h + (last ? 0 : more_h))
      return void(canvas.text(card, say("verdict.more", {std::to_string(waiting.size() - i)}),
                              Say::card_quiet, Type::text));
    draw_waiting_unit(canvas, facts, waiting[i], card.cut_top(row_h));
  }
}

void ReviewScreen::draw_waiting_unit(Canvas& canvas, const Facts& facts,
                                     const records::WaitingUnit& unit, Rect row) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const Rect mark = row.cut_left(size.strong_px, size.gap_px);
  canvas.shape(unit.parked ? Shape::parked : Shape::hold, mark.centre(), size.strong_px * 0.8F,
               unit.parked ? Ink::text : Ink::must, Ink::card);
  canvas.text(row.cut_top(canvas.line_of(Type::text)),
              say("review.waits", {unit.serial.empty() ? unit.ticket : unit.serial,
                                   age(say, unit.since_us, facts.now_us)}),
              Say::card, Type::text);
  canvas.text(row, say((unit.parked ? "park_reason." : "hold_reason.") + unit.why), Say::card_quiet,
              Type::text);
}

}  // namespace lastlook::screens
