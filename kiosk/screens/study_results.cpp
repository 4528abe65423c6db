// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/study_results.h"

#include <algorithm>

#include "analytics/agreement_chart.h"
#include "kiosk/screens/frame.h"
#include "kiosk/screens/marks_painter.h"

namespace lastlook::screens {

void StudyResultsScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const auto& results = facts.study.results;
  const auto shown = std::ranges::find(results, facts.study.shown, &StudyResult::study);
  const Rect body = draw_head(canvas, facts, say("study.results"));
  Work work = work_areas(canvas, body, 0);
  if (shown != results.end()) draw_grid(canvas, facts, *shown, work.picture);
  const Rect back = work.zone.cut_bottom(size.touch_px, size.pad_px);
  pager_.draw(canvas, say, "studies.more", work.zone, results.size(), 1, size.touch_px,
              size.touch_px * 1.2F, [&](std::size_t i, const Rect& cell) {
                const StudyResult& one = results[i];
                const ButtonLook tile{
                    .text = one.title,
                    .second = say(one.ended ? "study.ended" : "study.progress",
                                  {std::to_string(one.rated), std::to_string(one.of)}),
                    .type = Type::text,
                    .chosen = facts.study.shown == one.study};
                if (canvas.button("study." + one.study, cell, tile))
                  out.emplace_back(ShowStudy{one.study});
              });
  if (canvas.button("study.back", back,
                    {.kind = Kind::lead, .text = say("review.back"), .shape = Shape::back}))
    out.emplace_back(ShowStudy{});
}

void StudyResultsScreen::draw_grid(Canvas& canvas, const Facts& facts, const StudyResult& result,
                                   Rect area) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  canvas.card(area);
  Rect card = area.inside(size.pad_px, size.gap_px);
  canvas.paragraph(card, result.title, Say::card, Type::strong, size.gap_px * 0.5F);
  if (!result.rated_as)
    return void(canvas.text(card, say("study.not_yet"), Say::card_quiet, Type::text));
  const std::string note = say("study.for_whom");
  const Rect foot = card.cut_bottom(canvas.height_of(note, card.w, Type::text), size.gap_px);
  canvas.text(foot, note, Say::card_quiet, Type::text);
  if (chart_w_ != card.w || chart_h_ != card.h) {
    chart_ = analytics::agreement_chart(result.agreement, *result.rated_as,
                                        {{card.w, card.h, size.text_px * 0.8F, ""}},
                                        FontMeasure(canvas.fonts()));
    chart_w_ = card.w;
    chart_h_ = card.h;
  }
  paint(canvas, chart_, {card.x, card.y});
}

}  // namespace lastlook::screens
