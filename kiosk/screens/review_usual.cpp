// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/review_usual.h"

#include <fmt/format.h>

#include <utility>

#include "analytics/comparison_chart.h"
#include "analytics/control_chart_drawing.h"
#include "kiosk/screens/frame.h"
#include "kiosk/screens/marks_painter.h"
#include "kiosk/screens/review_frame.h"
#include "kiosk/screens/wording.h"

namespace lastlook::screens {
namespace {

using reports::Standing;

bool can_tell(Standing standing) {
  return standing != Standing::no_units && standing != Standing::too_few_shifts;
}

std::string standing_in_words(const text::Strings& say, const UsualFacts& usual) {
  const std::string key = fmt::format("usual.{}", to_word(usual.standing));
  if (usual.standing == Standing::too_few_shifts)
    return say(key,
               {std::to_string(usual.before.shifts), std::to_string(reports::least_usual_shifts)});
  if (usual.standing == Standing::no_units) return say(key);
  const analytics::AttributeChart& chart = *usual.before.by_shift;
  const analytics::ChartPoint& now = chart.points.back();
  return say(key, {std::to_string(usual.not_right), std::to_string(usual.rates.front().rate->units),
                   percent(say, chart.centre()), percent(say, now.lower.value_or(0)),
                   percent(say, now.upper.value_or(1))});
}

}  // namespace

void ReviewUsualScreen::update(const Facts& facts) {
  const text::Strings& say = *facts.say;
  const UsualFacts& usual = facts.review.usual;
  chart_w_ = 0;
  if (std::exchange(asked_, facts.review.asked) != facts.review.asked) closer_ = false;
  answer_ = standing_in_words(say, usual);
  wanders_.clear();
  if (can_tell(usual.standing) && usual.before.wanders)
    wanders_ = say("usual.wanders", {decimal(say, *usual.before.wanders, 1)});
  const std::string compared = std::to_string(usual.changes.size());
  changes_answer_ = usual.changes.empty() ? say("usual.compared_none")
                    : usual.changed == 0
                        ? say("usual.nothing_changed", {compared})
                        : say("usual.much_changed", {std::to_string(usual.changed), compared});
  rows_.clear();
  for (const analytics::Difference& one : usual.changes)
    if (one.changed) {
      const bool rose = one.value > 0;
      rows_.push_back(
          {say(rose ? "usual.rose" : "usual.fell", {one.name}),
           say("usual.counts", {std::to_string(one.after.hits), std::to_string(one.after.units),
                                std::to_string(one.before.hits), std::to_string(one.before.units)}),
           rose});
    }
}

void ReviewUsualScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  const ReviewRoom room = draw_review_frame(canvas, facts, out);
  if (room.back && !closer_) out.emplace_back(ShowReview{false});
  if (closer_)
    draw_changes(canvas, facts, room.area);
  else
    draw_shifts(canvas, facts, room.area);
  if (room.back) closer_ = false;
  draw_notices(canvas, facts, room.area, out);
}

void ReviewUsualScreen::draw_shifts(Canvas& canvas, const Facts& facts, Rect area) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const UsualFacts& usual = facts.review.usual;
  draw_answer(canvas, area, answer_);
  Work work = work_areas(canvas, area, 0);
  const std::string second = usual.changes.empty() ? say("usual.compared_none")
                             : usual.changed == 0
                                 ? say("usual.unchanged")
                                 : say("usual.changed", {std::to_string(usual.changed),
                                                         std::to_string(usual.changes.size())});
  const float changes_h = std::clamp(work.zone.h * 0.2F, size.touch_px, size.touch_px * 1.2F);
  if (canvas.button("usual.changes", work.zone.cut_bottom(changes_h, size.gap_px),
                    {.text = say("usual.changes"),
                     .second = second,
                     .shape = Shape::bars,
                     .type = Type::text}))
    closer_ = true;
  draw_rates(canvas, facts, work.zone);
  canvas.card(work.picture);
  Rect card = work.picture.inside(size.gap_px);
  if (!can_tell(usual.standing))
    return canvas.centred(card.inside(size.pad_px), say("usual.no_chart"), Say::card_quiet,
                          Type::text);
  if (!wanders_.empty()) {
    const float h = canvas.height_of(wanders_, card.w, Type::text);
    canvas.text(card.cut_bottom(h, size.gap_px), wanders_, Say::card_quiet, Type::text);
  }
  draw_chart(canvas, facts, card);
}

void ReviewUsualScreen::draw_rates(Canvas& canvas, const Facts& facts, Rect zone) {
  const Sizes& size = canvas.size;
  canvas.card(zone);
  Rect card = zone.inside(size.pad_px, size.gap_px);
  canvas.paragraph(card, (*facts.say)("usual.right"), Say::card_quiet, Type::text, 0);
  const auto& rates = facts.review.usual.rates;
  const auto rows = cells(card, 1, static_cast<int>(std::max<std::size_t>(rates.size(), 1)), 0);
  for (std::size_t i = 0; i < rates.size(); ++i) draw_rate(canvas, facts, rates[i], rows[i]);
}

void ReviewUsualScreen::draw_rate(Canvas& canvas, const Facts& facts, const RightAtFirst& right,
                                  Rect row) {
  const text::Strings& say = *facts.say;
  Rect first = row.cut_top(canvas.line_of(Type::strong));
  const std::string value = right.rate ? percent(say, right.rate->value) : say("usual.no_rate");
  canvas.text(first.cut_right(canvas.width_of(value, Type::strong) + 2, canvas.size.gap_px), value,
              Say::card, Type::strong, Align::right);
  canvas.centred(first, say("usual." + right.which), Say::card, Type::text, Align::left);
  if (right.rate)
    canvas.text(row,
                say("usual.of",
                    {std::to_string(right.rate->hits), std::to_string(right.rate->units),
                     percent(say, right.rate->limits.low), percent(say, right.rate->limits.high)}),
                Say::card_quiet, Type::text);
}

void ReviewUsualScreen::draw_changes(Canvas& canvas, const Facts& facts, Rect area) {
  const Sizes& size = canvas.size;
  draw_answer(canvas, area, changes_answer_);
  if (facts.review.usual.changes.empty()) return;
  Rect chart = area;
  if (!rows_.empty()) {
    const Work work = work_areas(canvas, area, 0);
    chart = work.picture;
    canvas.card(work.zone);
    Rect card = work.zone.inside(size.pad_px, size.gap_px);
    const float more_h = canvas.line_of(Type::text);
    for (std::size_t i = 0; i < rows_.size(); ++i) {
      const float row_h = canvas.height_of(rows_[i].what, card.w - 2 * size.text_px, Type::text) +
                          canvas.height_of(rows_[i].counts, card.w - 2 * size.text_px, Type::text);
      const bool last = i + 1 == rows_.size();
      if (card.h < row_h + (last ? 0 : more_h + size.gap_px)) {
        canvas.text(card, (*facts.say)("verdict.more", {std::to_string(rows_.size() - i)}),
                    Say::card_quiet, Type::text);
        break;
      }
      draw_row(canvas, rows_[i], card.cut_top(row_h, size.gap_px));
    }
  }
  canvas.card(chart);
  draw_chart(canvas, facts, chart.inside(size.gap_px));
}

void ReviewUsualScreen::draw_row(Canvas& canvas, const Row& row, Rect area) {
  const float mark = canvas.size.text_px;
  const Rect side = area.cut_left(mark, mark);
  canvas.shape(row.rose ? Shape::caution : Shape::conforming,
               {side.centre().x, side.y + canvas.line_of(Type::text) / 2}, mark,
               row.rose ? Ink::warn : Ink::good, row.rose ? Ink::on_warn : Ink::card);
  canvas.paragraph(area, row.what, Say::card, Type::text, 0);
  canvas.text(area, row.counts, Say::card_quiet, Type::text);
}

void ReviewUsualScreen::draw_chart(Canvas& canvas, const Facts& facts, const Rect& area) {
  const UsualFacts& usual = facts.review.usual;
  if (chart_w_ != area.w || chart_h_ != area.h || chart_closer_ != closer_) {
    const analytics::ChartFrame frame{area.w, area.h, canvas.size.text_px, ""};
    const FontMeasure measure(canvas.fonts());
    analytics::AttributeChart shifts;
    if (!closer_) {
      shifts = *usual.before.by_shift;
      shifts.notes.clear();  // the sentence above says it
    }
    chart_ = closer_
                 ? analytics::comparison_chart(
                       usual.changes,
                       {frame, (*facts.say)("usual.rule", {std::to_string(usual.changes.size())})},
                       measure)
                 : analytics::control_chart_drawing(shifts, {frame}, measure);
    chart_w_ = area.w;
    chart_h_ = area.h;
    chart_closer_ = closer_;
  }
  paint(canvas, chart_, {area.x, area.y});
}

}  // namespace lastlook::screens
