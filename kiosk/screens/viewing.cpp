// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/viewing.h"

#include <algorithm>
#include <cstdlib>

#include "kiosk/screens/frame.h"

namespace lastlook::screens {

void ViewingScreen::enter() {
  lamp_.reset();
  distance_.reset();
  lux_.reset();
  keypad_.close();
  second_.leave();
}

bool ViewingScreen::is_good(const domain::Viewing& wanted) const {
  return lamp_ == true && distance_ == true && lux_.value_or(0) >= wanted.least_lux;
}

void ViewingScreen::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  const auto& wanted = facts.inspection->master.viewing;
  if (!wanted) return;
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  canvas.inert(keypad_.is_open() || second_.is_asked());
  const Rect body = draw_head(canvas, facts, say("viewing.title"), say("viewing.head"));
  const Work work = work_areas(canvas, body, 0);
  const auto rows = cells(work.picture, 1, 3, size.gap_px);
  draw_yes_or_no(canvas, say, "lamp", say("viewing.lamp"), rows[0], lamp_);
  draw_light(canvas, facts, rows[1]);
  draw_yes_or_no(canvas, say, "distance",
                 say("viewing.distance", {std::to_string(wanted->distance_cm)}), rows[2],
                 distance_);
  draw_notices(canvas, facts, work.picture, out);
  draw_zone(canvas, facts, work.zone, out);
  canvas.inert(false);
  if (const auto typed = keypad_.draw(canvas, say))
    lux_ = std::strtoll(typed->c_str(), nullptr, 10);
  second_.draw(canvas, facts, out);
}

void ViewingScreen::draw_yes_or_no(Canvas& canvas, const text::Strings& say, const std::string& key,
                                   const std::string& question, Rect row,
                                   std::optional<bool>& answer) {
  const Sizes& size = canvas.size;
  canvas.card(row);
  Rect card = row.inside(size.pad_px, size.gap_px);
  const Rect hands = card.cut_right(std::min(card.w * 0.55F, size.touch_px * 4.2F), size.pad_px);
  canvas.centred(card, question, Say::card, Type::strong, Align::left);
  const float h = std::min(hands.h, size.touch_px * 1.2F);
  const Rect keys{hands.x, hands.y + (hands.h - h) / 2, hands.w, h};
  const auto two = cells(keys, 2, 1, size.gap_px);
  if (canvas.button("viewing." + key + ".no", two[0],
                    {.kind = answer == false ? Kind::warn : Kind::plain,
                     .text = say("viewing.no"),
                     .chosen = answer == false}))
    answer = false;
  if (canvas.button("viewing." + key + ".yes", two[1],
                    {.kind = answer == true ? Kind::good : Kind::plain,
                     .text = say("viewing.yes"),
                     .chosen = answer == true}))
    answer = true;
}

void ViewingScreen::draw_light(Canvas& canvas, const Facts& facts, Rect row) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const int least = facts.inspection->master.viewing->least_lux;
  canvas.card(row);
  Rect card = row.inside(size.pad_px, size.gap_px);
  const Rect hands = card.cut_right(std::min(card.w * 0.55F, size.touch_px * 4.2F), size.pad_px);
  canvas.centred(card, say("viewing.light", {std::to_string(least)}), Say::card, Type::strong,
                 Align::left);
  const float h = std::min(hands.h, size.touch_px * 1.2F);
  const Rect key{hands.x, hands.y + (hands.h - h) / 2, hands.w, h};
  const bool enough = lux_ && *lux_ >= least;
  const ButtonLook look{
      .kind = !lux_    ? Kind::plain
              : enough ? Kind::good
                       : Kind::warn,
      .text = lux_ ? say("viewing.lux", {std::to_string(*lux_)}) : say("viewing.measure"),
      .shape = lux_ ? std::nullopt : std::optional(Shape::keys)};
  if (canvas.button("viewing.lux", key, look))
    keypad_.open(say("viewing.lux_title"), Keypad::For::number);
}

void ViewingScreen::draw_zone(Canvas& canvas, const Facts& facts, Rect zone, Requests& out) {
  const Sizes& size = canvas.size;
  const text::Strings& say = *facts.say;
  const bool answered = lamp_ && distance_ && lux_;
  const bool good = is_good(*facts.inspection->master.viewing);
  const bool own = domain::may(facts.inspection->role, domain::Right::settle);
  const auto pair = cells(zone.cut_bottom(size.touch_px, size.gap_px), 2, 1, size.gap_px);
  const Rect go = zone.cut_bottom(size.touch_px * 1.35F, size.pad_px);
  canvas.card(zone);
  Rect card = zone.inside(size.pad_px);
  canvas.paragraph(card,
                   say(!answered ? "viewing.why"
                       : good    ? "viewing.good"
                                 : "viewing.bad"),
                   answered && !good ? Say::card_stop : Say::card_lead, Type::strong, size.gap_px);
  canvas.aside(card, say("viewing.site"), Say::card_quiet, Type::text);
  flows::CheckViewing check{lamp_.value_or(false), lux_.value_or(0), distance_.value_or(false)};
  if (answered && (good || own)) {
    const ButtonLook look{.kind = good ? Kind::lead : Kind::warn,
                          .text = say(good ? "viewing.go" : "viewing.go_all_the_same")};
    if (canvas.button("viewing.go", go, look)) out.emplace_back(flows::Event(check));
  } else if (answered && canvas.button("viewing.allow", go,
                                       {.kind = Kind::must, .text = say("viewing.allow")})) {
    second_.ask(check, facts);
  }
  const auto quiet = [&](std::string_view key, const Rect& cell, std::string_view words) {
    return canvas.button(key, cell, {.kind = Kind::quiet, .text = say(words), .type = Type::text});
  };
  if (quiet("help", pair[0], "help.call")) out.emplace_back(flows::Event(flows::CallHelp{}));
  if (quiet("sign_out", pair[1], "waiting.sign_out"))
    out.emplace_back(flows::Event(flows::SignOut{}));
}

}  // namespace lastlook::screens
