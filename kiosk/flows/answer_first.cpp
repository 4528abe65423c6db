// SPDX-License-Identifier: Apache-2.0
// Steps that are answered before the camera's opinion shows: what a person sees without it stays
// known, and nobody comes to repeat what the camera says (automation bias: Parasuraman and Manzey,
// "Complacency and bias in human use of automation", Human Factors 52 (2010) 381-410, from memory).
#include <algorithm>

#include "kiosk/flows/case.h"

namespace lastlook::flows {

using namespace domain;

void draw_steps(const Case& at, const std::string& look, const std::string& variant,
                Outcome& outcome) {
  const double rate = at.state.master.answer_first_rate;
  const Variant* known = at.state.master.variant(variant);
  if (!known || rate <= 0) return;
  AnswerFirstDrawn drawn{look, {}, rate};
  for (const Step& step : known->checklist)
    if (!step.answer_first && at.lookups.draw() < rate) drawn.components.push_back(step.component);
  if (!drawn.components.empty()) outcome.happenings.emplace_back(std::move(drawn));
}

const ComponentOpinion* shown_opinion(const OpenLook& look, const std::string& component) {
  if (!look.opinion) return nullptr;
  const auto step = std::ranges::find(look.steps, component,
                                      [](const StepState& it) { return it.step.component; });
  if (step != look.steps.end() && step->first == AnswerFirst::due) return nullptr;
  const auto& given = look.opinion->components;
  const auto found = std::ranges::find(given, component, &ComponentOpinion::component);
  return found == given.end() ? nullptr : &*found;
}

}  // namespace lastlook::flows
