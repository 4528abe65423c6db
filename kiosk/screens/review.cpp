// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/review.h"

#include <utility>

#include "kiosk/screens/frame.h"
#include "kiosk/screens/marks_painter.h"
#include "kiosk/screens/review_frame.h"

namespace lastlook::screens {

void ReviewScreen::update(const Facts& facts) {
  chart_w_ = 0;
  const bool again = std::exchange(asked_, facts.review.asked) != facts.review.asked;
  if (again || skip_ >= facts.review.defects.rows.size()) skip_ = 0;
}

void ReviewScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const ReviewRoom room = draw_review_frame(canvas, facts, out);
  canvas.card(room.area);
  if (facts.review.defects.total == 0)
    canvas.centred(room.area.inside(size.pad_px * 1.2F), say("review.no_findings"), Say::card,
                   Type::strong);
  else
    draw_chart(canvas, facts, room.area.inside(size.gap_px * 0.5F), out);
  if (room.back) {
    if (skip_ == 0) out.emplace_back(ShowReview{false});
    skip_ = 0;
    chart_w_ = 0;
  }
  draw_notices(canvas, facts, room.area, out);
}

void ReviewScreen::draw_chart(Canvas& canvas, const Facts& facts, const Rect& card, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  if (chart_w_ != card.w || chart_h_ != card.h) {
    analytics::ParetoChartOptions options;
    options.frame = {card.w, card.h, size.text_px, ""};
    options.counted =
        say(facts.review.defects.total == 1 ? "review.counted_one" : "review.counted");
    options.least_row = size.touch_px;
    options.skip = skip_;
    drawing_ =
        analytics::pareto_drawing(facts.review.defects, options, FontMeasure(canvas.fonts()));
    chart_w_ = card.w;
    chart_h_ = card.h;
  }
  for (std::size_t i = 0; i < drawing_.boxes.size(); ++i) {
    const analytics::Box& box = drawing_.boxes[i];
    draw_bar(canvas, i,
             {card.x, card.y + static_cast<float>(box.y), card.w, static_cast<float>(box.height)},
             out);
  }
  paint(canvas, drawing_.chart, {card.x, card.y});
}

// The ground that is touched; the chart's marks come over it.
void ReviewScreen::draw_bar(Canvas& canvas, std::size_t index, const Rect& row, Requests& out) {
  const analytics::ParetoRow& kind = drawing_.rows[index];
  const bool rest = drawing_.gathered > 0 && index + 1 == drawing_.rows.size();
  canvas.outline(row.inside(0, 2), Ink::edge, 1.5F, canvas.size.round_px);
  if (!canvas.target(rest ? "kind.rest" : "kind." + kind.name, row)) return;
  if (!rest) return void(out.emplace_back(std::in_place_type<ReviewEvent>, ShowBehind{kind.name}));
  skip_ += index;
  chart_w_ = 0;
}

}  // namespace lastlook::screens
