// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/language_choice.h"

#include "kiosk/screens/modal.h"

namespace lastlook::screens {

namespace {

std::vector<LanguageFacts> others(const Facts& facts) {
  std::vector<LanguageFacts> all = facts.languages;
  std::erase_if(all, [&](const LanguageFacts& one) { return one.code == facts.language; });
  return all;
}

}  // namespace

void LanguageChoice::offer(Canvas& canvas, const Facts& facts, const Rect& place) {
  std::string names;
  for (const LanguageFacts& one : others(facts)) names += (names.empty() ? "" : " · ") + one.name;
  if (names.empty()) return;
  if (canvas.button("languages", place, {.kind = Kind::quiet, .text = names, .type = Type::text}))
    asked_ = true;
}

void LanguageChoice::draw(Canvas& canvas, const Facts& facts, Requests& out) {
  if (!asked_) return;
  const std::vector<LanguageFacts> offered = others(facts);
  std::vector<Choice> choices;
  for (const LanguageFacts& one : offered)
    choices.push_back({"language." + one.code, {.text = one.name}});
  choices.push_back({"language.back", back_look(*facts.say)});
  const auto chosen = ask(canvas, (*facts.say)("language.which"), "", choices);
  if (!chosen) return;
  asked_ = false;
  if (*chosen < offered.size()) out.emplace_back(ChooseLanguage{offered[*chosen].code});
}

}  // namespace lastlook::screens
