// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/sign_in.h"

#include "kiosk/screens/frame.h"

namespace lastlook::screens {
namespace {

// Whose work is behind the lock, and that none of it is lost.
std::string why_locked(const Facts& facts) {
  const text::Strings& say = *facts.say;
  const auto& open = facts.inspection->open;
  std::string words = say("locked.by", {facts.person_name});
  if (open)
    words += " " + say("locked.unit",
                       {open->opened.serial.empty() ? open->opened.ticket : open->opened.serial});
  return words;
}

// The side away from the hands: what this is, where, when.
void draw_title(Canvas& canvas, const Facts& facts, Rect side, LanguageChoice& languages) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const Rect foot = side.cut_bottom(2 * canvas.line_of(Type::text));
  canvas.text(foot, facts.date + "\n" + facts.time, Say::quiet, Type::text);
  if (!facts.locked) languages.offer(canvas, facts, side.cut_bottom(size.touch_px, size.pad_px));
  side.cut_top(side.h * 0.28F);
  const Rect bar = side.cut_top(size.huge_px * 0.16F, size.pad_px);
  canvas.fill({bar.x, bar.y, size.huge_px * 1.4F, bar.h}, Ink::lead);
  canvas.paragraph(side, say("sign_in.product"), Say::lead, Type::huge, size.gap_px);
  canvas.paragraph(side, say("sign_in.station", {facts.station}), Say::body, Type::strong,
                   size.gap_px);
  canvas.paragraph(side, facts.locked ? why_locked(facts) : say("sign_in.purpose"),
                   facts.locked ? Say::body : Say::quiet, Type::text, 0);
}

}  // namespace

void SignInScreen::enter() {
  who_.enter();
  allowing_.leave();
  languages_.leave();
}

void SignInScreen::update(const Facts& facts) {
  who_.update(facts);
  allowing_.update(facts);
}

void SignInScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  const Sizes& size = canvas.size;
  canvas.inert(allowing_.is_asked() || languages_.is_asked());
  canvas.fill(canvas.whole, Ink::paper);
  Rect body = canvas.whole.inside(size.pad_px * 2, size.pad_px * 1.5F);
  const float hands_w = body.w * 0.58F;
  const Rect hands = canvas.left_handed ? body.cut_left(hands_w, size.pad_px * 2)
                                        : body.cut_right(hands_w, size.pad_px * 2);
  draw_title(canvas, facts, body, languages_);
  if (const auto entered = who_.draw(canvas, facts, facts.people, (*facts.say)("sign_in.who"),
                                     (*facts.say)("sign_in.nobody"), hands, out))
    out.emplace_back(CheckPin{entered->person, entered->pin});
  draw_notices(canvas, facts, canvas.whole, out);
  canvas.inert(false);
  allowing_.draw(canvas, facts, out);
  if (!allowing_.is_asked()) languages_.draw(canvas, facts, out);
}

void StartScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  canvas.inert(languages_.is_asked());
  const Rect body = draw_head(canvas, facts, say("start.title"));
  Rect card = body.inside(body.w * 0.06F, size.pad_px);
  canvas.card(card);
  card = card.inside(size.pad_px * 2, size.pad_px * 1.5F);
  Rect button = card.cut_bottom(size.touch_px, size.pad_px);
  const float mark = size.huge_px * 1.8F;
  const Rect left = card.cut_left(mark, size.pad_px * 2);
  canvas.shape(Shape::caution, {left.centre().x, left.y + mark / 2}, mark, Ink::lead, Ink::card);
  const float one = canvas.line_of(Type::text);
  canvas.paragraph(card, say("start.site_rules"), Say::card_lead, Type::huge, one * 0.6F);
  const std::string words =
      say("start.harm") + "\n" + say("start.eyes") + "\n" + say("start.assist");
  const bool roomy = canvas.height_of(words, card.w, Type::strong) + 2 * one < card.h;
  for (const char* key : {"start.harm", "start.eyes", "start.assist"})
    canvas.paragraph(card, say(key), Say::card, roomy ? Type::strong : Type::text,
                     roomy ? one : one * 0.4F);
  const float w = std::min(button.w, size.touch_px * 4);
  const Rect place{canvas.left_handed ? button.x : button.right() - w, button.y, w, button.h};
  if (canvas.button("start.go", place, {.kind = Kind::lead, .text = say("start.go")}))
    out.emplace_back(CautionSeen{});
  if (canvas.left_handed)
    button.cut_left(w, size.pad_px);
  else
    button.cut_right(w, size.pad_px);
  button.w = std::min(button.w, size.touch_px * 4);
  languages_.offer(canvas, facts, button);
  canvas.inert(false);
  languages_.draw(canvas, facts, out);
}

}  // namespace lastlook::screens
