// SPDX-License-Identifier: Apache-2.0
#include "kiosk/flows/approving.h"

#include <fmt/format.h>

#include <algorithm>

#include "kiosk/flows/case.h"

namespace lastlook::flows {

using namespace domain;

namespace {

Outcome told(Notice said) {
  Outcome outcome;
  outcome.notices.push_back(std::move(said));
  return outcome;
}

// Somebody else may have signed in since the touch.
std::optional<Notice> refused(const Inspection& state, const std::string& by) {
  if (auto why = teaching_refused(state)) return why;
  if (by != state.person) return Notice{"signed_in_since", {}};
  return std::nullopt;
}

}  // namespace

std::optional<Notice> teaching_refused(const Inspection& state) {
  if (state.person.empty()) return Notice{"sign_in_first", {}};
  if (!may(state.role, Right::approve)) return Notice{"needs_quality_engineer", {}};
  if (state.open) return Notice{"close_or_park_first", {name_of(state.open->opened)}};
  if (state.challenge.open) return Notice{"part_open", {state.challenge.open->part}};
  return std::nullopt;
}

bool overlaps(const TaughtGap& gap) {
  return gap.best_bad >= gap.worst_good;
}

std::string file_of(const std::vector<ApprovedModel>& known, const std::string& model) {
  for (const ApprovedModel& one : known) {
    if (one.model == model) return one.file;
    if (one.before == model && !one.before_file.empty()) return one.before_file;
  }
  return "";
}

const TaughtGap* undecided(const std::vector<TaughtGap>& gaps) {
  const auto found = std::ranges::find_if(
      gaps, [](const TaughtGap& gap) { return overlaps(gap) && !gap.overlap_accepted; });
  return found == gaps.end() ? nullptr : &*found;
}

Result<Outcome> on(const Case& at, const ApproveModel& event) {
  if (auto why = refused(at.state, event.by)) return told(*std::move(why));
  ModelApproved approval = event.approval;
  if (approval.model.empty() || approval.file.empty())
    return fail(Category::bad_input, "a model is approved by its id and the hash of its file");
  if (const TaughtGap* gap = undecided(approval.gaps))
    return notice("overlap_undecided", {gap->component});
  if (at.state.model) {
    if (at.state.model->model == approval.model) return notice("model_in_use", {approval.model});
    approval.before = at.state.model->model;
    approval.before_file = at.state.model->file;
  }
  return happened(std::move(approval));
}

// The model to go back to was approved here, or judged before the first approval.
Result<Outcome> on(const Case& at, const GoBackToModel& event) {
  if (auto why = refused(at.state, event.by)) return told(*std::move(why));
  if (is_blank(event.why))
    return fail(Category::bad_input, "nobody goes back to an earlier model without saying why");
  if (!at.state.model)
    return fail(Category::not_found, "no model was approved at this station to go back from");
  if (at.state.model->model == event.model) return notice("model_in_use", {event.model});
  const auto known = at.lookups.approved_models();
  if (!known) return tl::unexpected(known.error());
  ModelApproved approval;
  const auto before = std::ranges::find(*known, event.model, &ApprovedModel::model);
  if (before != known->end()) approval = *before;  // what it was taught, and its gaps
  approval.model = event.model;
  approval.file = file_of(*known, event.model);
  if (approval.file.empty())
    return fail(Category::not_found, fmt::format("model '{}' never judged here", event.model));
  approval.before = at.state.model->model;
  approval.before_file = at.state.model->file;
  approval.why = event.why;
  return happened(std::move(approval));
}

}  // namespace lastlook::flows
