// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/opinion_card.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace lastlook::screens {
namespace {

struct Words {
  std::string first, second;
  Say say = Say::card;
  Shape shape = Shape::eye;
};

Words words_of(const text::Strings& say, const domain::ComponentOpinion& opinion,
               domain::Expectation expected) {
  Words out;
  const std::string word(to_word(opinion.opinion));
  out.first = say("opinion." + word);
  const bool is_share = opinion.reason == "covered";
  out.second = say("reason." + opinion.reason,
                   {fmt::format("{:.0f}", std::abs(opinion.reason_value) * (is_share ? 100 : 1))});
  // Where nothing is wanted, "there" and "empty" mean the opposite of what they mean elsewhere.
  if (expected == domain::Expectation::absent && opinion.conforming != "unsure") {
    const bool empty = opinion.conforming == "yes";
    out.first = say(empty ? "opinion.absent_as_wanted" : "opinion.there_not_wanted");
    out.second.clear();
  }
  out.say = opinion.conforming == "yes"  ? Say::card_good
            : opinion.conforming == "no" ? Say::card_stop
                                         : Say::card_quiet;
  return out;
}

Words words_of(const Facts& facts) {
  const text::Strings& say = *facts.say;
  Words out{say("opinion.none"), "", Say::card_quiet, Shape::eye_shut};
  if (facts.inspection->open && flows::is_second_look(*facts.inspection->open)) {
    out.second = say("withheld.second_look");
    return out;
  }
  if (facts.camera.state == "none" || facts.camera.state == "no_source") {
    out.second = say(facts.camera.state == "none" ? "withheld.no_camera" : "withheld.no_source");
    return out;
  }
  if (!facts.withheld) {
    out.first = say("opinion.looking");
    return out;
  }
  std::string codes;
  for (const std::string& code : facts.withheld->codes) codes += (codes.empty() ? "" : ", ") + code;
  out.second = say("withheld." + facts.withheld->why, {codes});
  return out;
}

float mark_of(const Sizes& size) {
  return size.strong_px * 1.2F;
}

}  // namespace

float opinion_card_height(const Canvas& canvas, const Facts& facts,
                          const domain::ComponentOpinion* opinion, domain::Expectation expected,
                          float width_px) {
  const Sizes& size = canvas.size;
  const Words words = opinion ? words_of(*facts.say, *opinion, expected) : words_of(facts);
  const float text_w = width_px - 3 * size.gap_px - mark_of(size);
  const float words_h = canvas.height_of(words.first, text_w, Type::text) +
                        canvas.height_of(words.second, text_w, Type::text);
  // As high for few words: what is above and below it stays where it is from step to step.
  return std::max(
      {size.touch_px, canvas.line_of(Type::text) * 3 + size.gap_px, words_h + size.gap_px});
}

namespace {

void draw_words(Canvas& canvas, const Words& words, const Rect& area) {
  const Sizes& size = canvas.size;
  canvas.card(area);
  Rect inner = area.inside(size.gap_px, size.gap_px * 0.5F);
  const float mark = mark_of(size);
  const Rect side = inner.cut_left(mark, size.gap_px);
  canvas.shape(words.shape, side.centre(), mark, pair_of(words.say).text, Ink::card);
  const float first_h = canvas.height_of(words.first, inner.w, Type::text);
  const float second_h =
      words.second.empty() ? 0 : canvas.height_of(words.second, inner.w, Type::text);
  inner.cut_top(std::max(0.0F, (inner.h - first_h - second_h) / 2));
  canvas.paragraph(inner, words.first, words.say, Type::text, 0);
  canvas.text(inner, words.second, Say::card_quiet, Type::text);
}

}  // namespace

void draw_answer_first(Canvas& canvas, const text::Strings& say, const Rect& area) {
  draw_words(canvas,
             {say("opinion.after"), say("opinion.after_why"), Say::card_quiet, Shape::eye_shut},
             area);
}

bool draw_opinion_card(Canvas& canvas, const Facts& facts, const domain::ComponentOpinion* opinion,
                       domain::Expectation expected, const Rect& area) {
  const Sizes& size = canvas.size;
  draw_words(canvas, opinion ? words_of(*facts.say, *opinion, expected) : words_of(facts), area);
  // On a small screen there is no room for a target of its size; then it only tells.
  return area.h >= size.touch_px && canvas.target("look_again", area);
}

}  // namespace lastlook::screens
