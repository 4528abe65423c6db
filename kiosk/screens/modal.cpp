// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/modal.h"

#include <fmt/format.h>

#include <array>

namespace lastlook::screens {

namespace {

// Of a button of text alone or with a shape, so that its words fit.
float height_for(const Canvas& canvas, const ButtonLook& look, float width_px) {
  const Sizes& size = canvas.size;
  const float beside = look.shape ? size.text_px * 1.3F + size.gap_px : 0;
  const float words_h = canvas.height_of(look.text, width_px - 2 * size.pad_px - beside, look.type);
  return std::max(size.touch_px, words_h + 1.2F * size.gap_px);
}

}  // namespace

Rect draw_panel(Canvas& canvas, float width_px, float height_px) {
  const Sizes& size = canvas.size;
  const Rect whole = canvas.whole;
  canvas.shade_around(whole, {whole.x, whole.y, 0, 0}, 150);
  const float w = std::min(width_px, whole.w - 2 * size.gap_px);
  const float h = std::min(height_px, whole.h - 2 * size.gap_px);
  const Rect panel{whole.x + (whole.w - w) / 2, whole.y + (whole.h - h) / 2, w, h};
  canvas.fill(panel, Ink::card, size.round_px * 1.5F);
  canvas.outline(panel, Ink::edge, 1.5F, size.round_px * 1.5F);
  return panel.inside(size.pad_px * 1.3F);
}

ButtonLook back_look(const text::Strings& say) {
  return {.kind = Kind::quiet, .text = say("ask.back"), .shape = Shape::back, .type = Type::text};
}

std::optional<std::size_t> ask(Canvas& canvas, const std::string& title, const std::string& text,
                               std::span<const Choice> choices) {
  const Sizes& size = canvas.size;
  const float width = std::min(canvas.whole.w * 0.9F, size.touch_px * 7.5F);
  const float inner_w = width - 2.6F * size.pad_px;
  const int rows = static_cast<int>((choices.size() + 1) / 2);
  float button_h = size.touch_px;
  for (const Choice& choice : choices)
    if (choice.look.type == Type::text)
      button_h = std::max(button_h, height_for(canvas, choice.look, (inner_w - size.gap_px) / 2));
  const float buttons_h = static_cast<float>(rows) * (button_h + size.gap_px) - size.gap_px;
  const float text_h =
      canvas.height_of(title, inner_w, Type::strong) +
      (text.empty() ? 0 : size.gap_px + canvas.height_of(text, inner_w, Type::text));
  Rect room = draw_panel(canvas, width, text_h + buttons_h + 2 * size.gap_px + 2.6F * size.pad_px);
  const Rect buttons = room.cut_bottom(buttons_h, size.gap_px);
  canvas.paragraph(room, title, Say::card, Type::strong, size.gap_px);
  canvas.paragraph(room, text, Say::card_quiet, Type::text, 0);
  const auto grid = cells(buttons, 2, rows, size.gap_px);
  std::optional<std::size_t> touched;
  for (std::size_t i = 0; i < choices.size(); ++i)
    if (canvas.button(choices[i].key, grid[i], choices[i].look)) touched = i;
  return touched;
}

void ask_other_tag(Canvas& canvas, const Facts& facts, Requests& out) {
  if (!facts.other_tag) return;
  const text::Strings& say = *facts.say;
  const OtherTag& tag = *facts.other_tag;
  const std::array choices{
      Choice{
          "other_tag.park",
          {.text = say("other_tag.park", {tag.open}), .shape = Shape::parked, .type = Type::text}},
      Choice{"other_tag.go_on",
             {.kind = Kind::lead, .text = say("other_tag.go_on", {tag.open}), .type = Type::text}}};
  const auto chosen = ask(canvas, say("other_tag.title"),
                          say("notice.other_tag_seen", {tag.open, tag.seen}), choices);
  if (chosen == 0U)
    out.emplace_back(flows::Event(flows::Park{domain::ParkReason::needs_advice, ""}));
  if (chosen == 1U) out.emplace_back(TagSettled{});
}

std::optional<std::size_t> ask_which(Canvas& canvas, const text::Strings& say,
                                     const std::string& family, std::span<const char* const> words,
                                     const std::string& title, const std::string& text) {
  std::vector<Choice> choices;
  for (const std::string word : words)
    choices.push_back({family + word, {.text = say(family + word), .type = Type::text}});
  choices.push_back({family + "back", back_look(say)});
  return ask(canvas, title, text, choices);
}

std::optional<flows::Event> ask_park(Canvas& canvas, const text::Strings& say, bool& open) {
  using domain::ParkReason;
  constexpr std::array reasons{ParkReason::waiting_for_result, ParkReason::needs_advice,
                               ParkReason::shift_change, ParkReason::other};
  std::vector<Choice> choices;
  for (const ParkReason reason : reasons) {
    const std::string key = fmt::format("park_reason.{}", to_word(reason));
    choices.push_back({"park." + std::string(to_word(reason)),
                       {.text = say(key), .shape = Shape::parked, .type = Type::text}});
  }
  choices.push_back({"park.back", back_look(say)});
  const auto chosen = ask(canvas, say("park.title"), say("park.text"), choices);
  if (!chosen) return std::nullopt;
  open = false;
  if (*chosen >= reasons.size()) return std::nullopt;
  return flows::Event(flows::Park{reasons[*chosen], ""});
}

}  // namespace lastlook::screens
