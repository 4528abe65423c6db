// SPDX-License-Identifier: Apache-2.0
// Answers and findings, by a person; opinions, by the camera, which answer nothing.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "kiosk/flows/case.h"

namespace lastlook::flows {
namespace {

using namespace domain;

const StepState* step_at(const OpenLook& look, const std::string& component) {
  const auto found = std::ranges::find(look.steps, component,
                                       [](const StepState& it) { return it.step.component; });
  return found == look.steps.end() ? nullptr : &*found;
}

bool is_fraction(double value) {
  return std::isfinite(value) && value >= 0.0 && value <= 1.0;
}

Status check_place(const std::optional<Place>& place) {
  if (!place || (is_fraction(place->x) && is_fraction(place->y))) return {};
  return fail(Category::bad_input,
              fmt::format("place {}, {} is off the picture, expected 0 to 1", place->x, place->y));
}

// The catalogue entry, if it can occur there. A component without a step of its own can be damaged
// too; it is taken as expected.
Result<const Defect*> defect_at(const OpenLook& look, const std::string& component,
                                const std::string& defect) {
  if (!look.master.component(component))
    return fail(Category::bad_input, fmt::format("'{}' is not a component of revision {}",
                                                 component, look.master.revision));
  const StepState* step = step_at(look, component);
  const auto expected = step ? step->step.expected : Expectation::present;
  for (const Defect* known : look.master.defects_at(component, expected))
    if (known->id == defect) return known;
  return fail(Category::bad_input, fmt::format("'{}' cannot occur at '{}', which is expected {}",
                                               defect, component, to_word(expected)));
}

// What the camera's opinion on the screen is about a component; empty: there is none.
std::string opinion_shown_at(const OpenLook& look, const std::string& component) {
  const ComponentOpinion* shown = shown_opinion(look, component);
  return shown ? word(shown->opinion) : std::string();
}

// What follows an answer that was given first: the person is told where the camera differs.
Outcome told_of_difference(const Case& at, Outcome outcome, const std::string& component) {
  Inspection after = at.state;
  for (const Happening& happening : outcome.happenings) evolve(after, happening, at.now);
  const StepState* step = step_at(*after.open, component);
  if (step && step->first == AnswerFirst::differs)
    outcome.notices.push_back({"one_more_look", {component}});
  return outcome;
}

bool says_the_same(const OpinionGiven& a, const OpinionGiven& b) {
  return a.model == b.model &&
         std::ranges::equal(a.components, b.components,
                            [](const ComponentOpinion& x, const ComponentOpinion& y) {
                              return x.component == y.component && x.opinion == y.opinion &&
                                     x.conforming == y.conforming && x.reason == y.reason;
                            });
}

}  // namespace

// not_answered takes an answer back. The same answer twice is one answer.
Result<Outcome> on(const Case& at, const AnswerStep& event) {
  if (!at.state.open) return nothing_open();
  const OpenLook& look = *at.state.open;
  if (look.variant.empty())
    return fail(Category::refused, "the variant is not confirmed yet, there is nothing to answer");
  const StepState* step = step_at(look, event.component);
  if (!step)
    return fail(Category::bad_input, fmt::format("'{}' has no step in the checklist of {}",
                                                 event.component, look.variant));
  if (!event.opinion_shown.empty() && !from_word<Opinion>(event.opinion_shown))
    return fail(Category::bad_input,
                fmt::format("'{}' is not an opinion of the camera", event.opinion_shown));
  if (is_second_look(look) && !event.opinion_shown.empty())
    return fail(Category::bad_input, "no opinion is shown in a second look");
  if (step->first == AnswerFirst::due && !event.opinion_shown.empty())
    return fail(Category::bad_input,
                fmt::format("'{}' is answered before the opinion is shown", event.component));
  if (step->answer == event.answer && step->first != AnswerFirst::differs) return Outcome{};
  if (event.answer != Answer::nonconforming && has_finding(look, event.component))
    return notice("finding_still_there", {event.component});
  return told_of_difference(at,
                            happened(StepAnswered{look.opened.look, event.component, event.answer,
                                                  step->answer, event.opinion_shown}),
                            event.component);
}

// A finding answers its step: nonconforming.
Result<Outcome> on(const Case& at, const AddFinding& event) {
  if (!at.state.open) return nothing_open();
  const OpenLook& look = *at.state.open;
  if (look.variant.empty())
    return fail(Category::refused,
                "the variant is not confirmed yet, it says what is a finding and what is not");
  const auto defect = defect_at(look, event.component, event.defect);
  if (!defect) return tl::unexpected(defect.error());
  if (auto status = check_place(event.place); !status) return tl::unexpected(status.error());
  Outcome outcome;
  const StepState* step = step_at(look, event.component);
  if (step && step->answer != Answer::nonconforming)
    outcome = happened(StepAnswered{look.opened.look, event.component, Answer::nonconforming,
                                    step->answer, opinion_shown_at(look, event.component)});
  outcome.happenings.emplace_back(FindingAdded{
      look.opened.look, at.lookups.new_finding_id(), event.component, event.defect,
      event.severity.value_or((*defect)->severity), event.place, event.picture, event.note});
  return outcome;
}

// The step's answer stays nonconforming: a person answers it again, or names the right finding.
Result<Outcome> on(const Case& at, const WithdrawFinding& event) {
  if (!at.state.open) return nothing_open();
  const OpenLook& look = *at.state.open;
  if (std::ranges::count(look.findings, event.finding, &FindingAdded::finding) == 0)
    return fail(Category::bad_input,
                fmt::format("finding '{}' is not in the open look", event.finding));
  if (is_blank(event.why))
    return fail(Category::bad_input, "a finding is not withdrawn without saying why");
  return happened(FindingWithdrawn{look.opened.look, event.finding, event.why});
}

// Kept only where frame, look and unit are one. An opinion that says what the newest one already
// said adds nothing.
Result<Outcome> on(const Case& at, const OpinionArrived& event) {
  const std::string& model = event.opinion.model;
  if (at.state.model && at.state.model->model != model)
    return notice("model_not_approved", {model});
  if (at.state.challenge.open) return judge_part(at, event);
  if (!at.state.open) return Outcome{};
  const OpenLook& look = *at.state.open;
  const bool of_this_look = event.opinion.look == look.opened.look && !look.variant.empty();
  const bool of_this_unit = !look.opened.serial.empty() && event.tag_serial == look.opened.serial;
  if (!of_this_look || !of_this_unit) return Outcome{};
  if (auto said = without_proof(at, look.variant, event.opinion.model)) return *std::move(said);
  const auto& newest = is_second_look(look) ? look.unseen_opinion : look.opinion;
  if (newest && says_the_same(*newest, event.opinion)) return Outcome{};
  return happened(event.opinion);
}

}  // namespace lastlook::flows
