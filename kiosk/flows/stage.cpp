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
    const auto found = std::ranges::find_if(look.steps, is_open);
    if (found == look.steps.end()) return std::nullopt;
    return static_cast<std::size_t>(found - look.steps.begin());
  };
  const auto begun = first([&](const StepState& it) {
    return it.answer == domain::Answer::nonconforming && !has_finding(look, it.step.component);
  });
  if (begun) return begun;
  return first([](const StepState& it) { return it.answer == domain::Answer::not_answered; });
}

}  // namespace lastlook::flows
