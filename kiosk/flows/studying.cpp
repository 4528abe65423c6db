// SPDX-License-Identifier: Apache-2.0
// Agreement studies: planned by the quality engineer, rated blind by their inspectors.
#include <fmt/format.h>

#include <algorithm>

#include "kiosk/flows/case.h"

namespace lastlook::flows {

using namespace domain;

namespace {

Result<StudyRecord> known_study(const Case& at, const std::string& id) {
  auto study = at.lookups.study(id);
  if (!study) return tl::unexpected(study.error());
  if (!*study) return fail(Category::not_found, fmt::format("there is no study '{}'", id));
  return **std::move(study);
}

}  // namespace

Result<Outcome> on(const Case& at, const PlanStudy& event) {
  if (!is_quality_engineer(at, event.by)) return notice("needs_quality_engineer");
  if (const Status fits = check_study(event.plan); !fits) return tl::unexpected(fits.error());
  const auto known = at.lookups.study(event.plan.study);
  if (!known) return tl::unexpected(known.error());
  if (*known)
    return fail(Category::refused, fmt::format("there is a study '{}' already", event.plan.study));
  return happened(event.plan);
}

Result<Outcome> on(const Case& at, const RateItem& event) {
  if (at.state.open) return notice("close_or_park_first", {name_of(at.state.open->opened)});
  auto study = known_study(at, event.study);
  if (!study) return tl::unexpected(study.error());
  const StudyPlanned& plan = study->plan;
  if (std::ranges::count(plan.inspectors, at.state.person) == 0)
    return fail(Category::refused, "this person is no inspector of the study");
  if (std::ranges::count(plan.ratings, event.rating) == 0)
    return fail(Category::bad_input, fmt::format("rating '{}': expected one of {}", event.rating,
                                                 fmt::join(plan.ratings, ", ")));
  const auto turn = study_turn(*study, at.state.person);
  if (!turn) return notice("study_over", {plan.title});
  if (at.now.wall_us < turn->from_us) return notice("study_waits", {plan.title});
  if (plan.items[turn->item].label != event.item) return notice("study_item_rated", {event.item});
  Outcome outcome =
      happened(StudyRated{plan.study, at.state.person, turn->trial, event.item, event.rating});
  if (turn->done + 1 < plan.items.size()) return outcome;
  if (turn->trial == plan.trials)
    outcome.notices.push_back({"study_done", {plan.title}});
  else if (plan.gap_min > 0)
    outcome.notices.push_back({"study_waits", {plan.title}});
  return outcome;
}

Result<Outcome> on(const Case& at, const EndStudy& event) {
  if (!is_quality_engineer(at, event.by)) return notice("needs_quality_engineer");
  const auto study = known_study(at, event.study);
  if (!study) return tl::unexpected(study.error());
  if (study->ended) return notice("study_over", {study->plan.title});
  if (is_blank(event.why))
    return fail(Category::bad_input, "a study is not ended without saying why");
  return happened(StudyEnded{event.study, event.why});
}

}  // namespace lastlook::flows
