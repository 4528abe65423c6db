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
  for (std::size_t i = 0; i < look.steps.size(); ++i) {
    const auto& [step, answer] = look.steps[i];
    if (answer == domain::Answer::not_answered) return i;
    if (answer == domain::Answer::nonconforming && !has_finding(look, step.component)) return i;
  }
  return std::nullopt;
}

}  // namespace lastlook::flows
