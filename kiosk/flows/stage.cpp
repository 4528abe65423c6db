// SPDX-License-Identifier: Apache-2.0
#include "kiosk/flows/case.h"

namespace lastlook::flows {
Stage stage_of(const Inspection& state) {
  if (state.person.empty()) return Stage::signed_out;
  if (state.challenge.open) return Stage::challenge;
  if (!state.open) return Stage::waiting;
  if (state.open->variant.empty()) return Stage::confirm_variant;
  return next_step(*state.open) ? Stage::step : Stage::verdict;
}

std::optional<std::size_t> next_step(const OpenLook& look) {
  const auto first = [&](const auto& is_open) -> std::optional<std::size_t> {
    for (std::size_t i = 0; i < look.steps.size(); ++i)
      if (is_open(i)) return i;
    return std::nullopt;
  };
  const auto begun = first([&](std::size_t i) {
    const auto& [step, answer, asked_first] = look.steps[i];
    return asked_first == AnswerFirst::differs ||
           (answer == domain::Answer::nonconforming && !has_finding(look, step.component));
  });
  if (begun) return begun;
  const auto together = together_steps(look);
  const auto unanswered = first([&](std::size_t i) {
    return look.steps[i].answer == domain::Answer::not_answered &&
           !std::ranges::binary_search(together, i);
  });
  if (unanswered || together.empty()) return unanswered;
  return together.front();
}

}  // namespace lastlook::flows
