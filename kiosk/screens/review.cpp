// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/review.h"

#include "analytics/pareto_chart.h"
#include "kiosk/screens/frame.h"
#include "kiosk/screens/marks_painter.h"
#include "kiosk/screens/review_frame.h"

namespace lastlook::screens {

void ReviewScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  const ReviewRoom room = draw_review_frame(canvas, facts, out);
  if (room.back) out.emplace_back(ShowReview{false});
  draw_chart(canvas, facts, room.area);
  draw_notices(canvas, facts, room.area, out);
}

void ReviewScreen::draw_chart(Canvas& canvas, const Facts& facts, Rect area) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  canvas.card(area);
  Rect card = area.inside(size.pad_px * 1.2F, size.pad_px);
  if (facts.review.defects.total == 0)
    return void(canvas.centred(card, say("review.no_findings"), Say::card, Type::strong));
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

}  // namespace lastlook::screens
