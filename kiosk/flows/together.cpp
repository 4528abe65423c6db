// SPDX-License-Identifier: Apache-2.0
// The fast way through a good unit: what the camera calls right, and was all shown, is answered by
// one touch. What was drawn to be answered first, or takes a hand, is answered one by one before
// it.
#include <fmt/format.h>

#include <algorithm>

#include "kiosk/flows/case.h"

namespace lastlook::flows {

using namespace domain;

std::vector<std::size_t> together_steps(const OpenLook& look) {
  std::vector<std::size_t> steps;
  if (!look.master.answer_together || is_second_look(look)) return steps;
  for (std::size_t i = 0; i < look.steps.size(); ++i) {
    const StepState& it = look.steps[i];
    if (it.answer == Answer::not_answered && it.first == AnswerFirst::no &&
        it.step.by == Manner::look)
      steps.push_back(i);
  }
  if (steps.size() < 2) steps.clear();
  return steps;
}

Result<Outcome> on(const Case& at, const AnswerTogether& event) {
  if (!at.state.open) return nothing_open();
  const OpenLook& look = *at.state.open;
  if (event.components.empty())
    return fail(Category::bad_input, "nothing is answered together, expected components");
  const auto together = together_steps(look);
  AnsweredTogether answered{look.opened.look, {}, {}};
  for (const std::string& component : event.components) {
    const auto at_step = std::ranges::find(
        together, component, [&](std::size_t i) { return look.steps[i].step.component; });
    if (at_step == together.end())
      return fail(Category::refused, fmt::format("'{}' is answered by itself", component));
    const ComponentOpinion* opinion = shown_opinion(look, component);
    // It may have changed while the finger came down.
    if (!opinion || opinion->conforming != "yes") return notice("not_together", {component});
    answered.components.push_back(component);
    answered.opinions_shown.push_back(word(opinion->opinion));
  }
  return happened(std::move(answered));
}

}  // namespace lastlook::flows
