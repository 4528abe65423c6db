// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/review_desk.h"

#include "kiosk/domain/calendar.h"
#include "kiosk/screens/wording.h"

namespace lastlook::app {

using namespace screens;

namespace {

RightAtFirst right_at_first(std::string which, const records::LookCounts& counts) {
  const auto rate = analytics::first_pass_yield(counts.first_pass, counts.first_looks);
  return {std::move(which), rate ? std::optional(*rate) : std::nullopt};
}

}  // namespace

void ReviewDesk::open() {
  facts_ = {};
}

void ReviewDesk::handle(const ReviewEvent& event) {
  struct Take {
    ReviewDesk& desk;
    void operator()(const AskReview& ask) const {
      desk.facts_ = {};
      desk.facts_.question = ask.question;
    }
  };
  std::visit(Take{*this}, event);
}

Status ReviewDesk::gather() {
  const domain::Master& master = parts_.station.state().master;
  const domain::ShiftOfDay today = domain::shift_of(master, parts_.clock.read());
  facts_.production_date = today.production_date;
  facts_.shift.clear();
  for (const domain::Shift& shift : master.shifts)
    if (shift.id == today.shift) facts_.shift = shift.name;
  switch (facts_.question) {
    case Question::most:
      return gather_most({today.production_date, today.production_date, today.shift, "", ""});
    case Question::usual:
      return gather_usual({today.production_date, today.shift});
    case Question::waiting:
      return gather_waiting();
    default:
      return {};
  }
}

Status ReviewDesk::gather_most(const records::Period& shift) {
  const domain::Master& master = parts_.station.state().master;
  const auto counts = records::defect_counts(parts_.station.records(), shift);
  if (!counts) return tl::unexpected(counts.error());
  analytics::ParetoCounter counter;
  for (const records::DefectCount& count : *counts)
    counter.add(parts_.say("verdict.finding", {component_name(master, count.component),
                                               defect_name(master, count.defect)}),
                count.findings);
  facts_.defects = counter.table();
  return {};
}

Status ReviewDesk::gather_usual(const reports::WhichShift& shift) {
  records::Records& records = parts_.station.records();
  const auto now = records::look_counts(
      records, {shift.production_date, shift.production_date, shift.shift, "", ""});
  if (!now) return tl::unexpected(now.error());
  auto before = reports::usual_before(records, shift);
  if (!before) return tl::unexpected(before.error());
  const auto changes = reports::changes_since(records, shift, *before);
  if (!changes) return tl::unexpected(changes.error());
  UsualFacts& usual = facts_.usual;
  usual = {};
  usual.standing = reports::standing_of(*before);
  usual.not_right = now->first_looks - now->first_pass;
  usual.rates = {
      right_at_first("now", *now),
      right_at_first("last", before->last ? before->last->counts : records::LookCounts{}),
      right_at_first("weeks", before->weeks)};
  for (const reports::Change& change : *changes) {
    usual.changes.push_back(change.difference);
    usual.changes.back().name = worded(change);
    usual.changed += change.difference.changed ? 1 : 0;
  }
  usual.before = std::move(*before);
  return {};
}

std::string ReviewDesk::worded(const reports::Change& change) const {
  const domain::Master& master = parts_.station.state().master;
  if (!change.component.empty())
    return parts_.say("verdict.finding", {component_name(master, change.component),
                                          defect_name(master, change.defect)});
  return parts_.say(change.since == reports::Change::Since::weeks ? "usual.all_weeks"
                                                                  : "usual.all_last");
}

Status ReviewDesk::gather_waiting() {
  auto waiting = records::waiting_units(parts_.station.records());
  if (!waiting) return tl::unexpected(waiting.error());
  facts_.waiting = std::move(*waiting);
  return {};
}

}  // namespace lastlook::app
