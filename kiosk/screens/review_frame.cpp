// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/review_frame.h"

#include <fmt/format.h>

#include "kiosk/screens/frame.h"

namespace lastlook::screens {

ReviewRoom draw_review_frame(Canvas& canvas, const Facts& facts, Requests& out,
                             std::string_view second) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const ReviewFacts& review = facts.review;
  const std::string shift = say("review.period", {review.which.production_date, review.shift});
  Rect body = draw_head(canvas, facts, say(fmt::format("question.{}", to_word(review.question))),
                        second.empty() ? std::string_view(shift) : second);
  const float strip_h =
      std::max(size.touch_px, 3 * canvas.line_of(Type::text) + 1.2F * size.gap_px);
  const auto strip = cells(body.cut_bottom(strip_h, size.gap_px),
                           static_cast<int>(all_questions.size()) + 2, 1, size.gap_px);
  // The way back is where the hand is, the choice of the shift at the other end.
  const ButtonLook which{.kind = Kind::quiet,
                         .text = review.shift,
                         .second = review.which.production_date,
                         .type = Type::text};
  if (canvas.button("review.shift", canvas.left_handed ? strip.back() : strip.front(), which))
    out.emplace_back(std::in_place_type<ReviewEvent>, ShowShifts{true});
  constexpr std::size_t first = 1;
  for (std::size_t i = 0; i < all_questions.size(); ++i) {
    const std::string_view word = to_word(all_questions[i]);
    const ButtonLook look{.kind = Kind::quiet,
                          .text = say(fmt::format("question_short.{}", word)),
                          .type = Type::text,
                          .chosen = all_questions[i] == review.question};
    if (canvas.button(fmt::format("question.{}", word), strip[first + i], look))
      out.emplace_back(std::in_place_type<ReviewEvent>, AskReview{all_questions[i]});
  }
  const bool back = canvas.button(
      "review.back", canvas.left_handed ? strip.front() : strip.back(),
      {.kind = Kind::lead, .text = say("review.back"), .shape = Shape::back, .type = Type::text});
  return {body, back};
}

void draw_answer(Canvas& canvas, Rect& area, std::string_view answer) {
  canvas.paragraph(area, answer, Say::body, Type::strong, canvas.size.gap_px);
}

}  // namespace lastlook::screens
