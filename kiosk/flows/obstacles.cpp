// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "kiosk/flows/case.h"
#include "kiosk/flows/hold.h"
#include "kiosk/flows/notices.h"
#include "kiosk/flows/upstream.h"

namespace lastlook::flows {
namespace {

using namespace domain;
using enum Obstacle::Why;

bool is_disputed(const OpenLook& look, const UnitRecord& unit) {
  return look.disputed || unit.disputed;
}

bool tag_says_otherwise(const OpenLook& look) {
  return tag_contradicts(look.master, look.opened.tag_type, look.variant);
}

bool has_something_else(const OpenLook& look) {
  return std::ranges::count(look.findings, something_else, &FindingAdded::defect) > 0;
}

void add_steps(const OpenLook& look, std::vector<Obstacle>& obstacles) {
  for (const auto& [step, answer, first] : look.steps) {
    if (first == AnswerFirst::differs) obstacles.push_back({answers_differ, step.component});
    if (answer == Answer::not_answered) obstacles.push_back({step_unanswered, step.component});
    if (answer == Answer::nonconforming && !has_finding(look, step.component))
      obstacles.push_back({finding_missing, step.component});
  }
  for (const FindingAdded& finding : look.findings)
    obstacles.push_back({finding_open, finding.component});
}

void add_results(const OpenLook& look, const UnitRecord& unit, std::vector<Obstacle>& obstacles) {
  if (look.opened.serial.empty()) return;  // no_serial says it all
  // What a rework voids would give away what the first look said.
  if (is_second_look(look)) return;
  for (const UpstreamRule& rule : look.master.required_results) {
    const Standing standing = standing_of(unit, rule.test);
    if (standing == Standing::missing) obstacles.push_back({result_missing, word(rule.test)});
    if (standing == Standing::failed) obstacles.push_back({result_failed, word(rule.test)});
  }
}

bool has(const std::vector<Obstacle>& obstacles, Obstacle::Why why) {
  return std::ranges::count(obstacles, why, &Obstacle::why) > 0;
}

}  // namespace

std::vector<Obstacle> obstacles_to_accept(const Inspection& state, const UnitRecord& unit) {
  std::vector<Obstacle> obstacles;
  if (!state.open) return obstacles;
  const OpenLook& look = *state.open;
  if (look.opened.serial.empty()) obstacles.push_back({no_serial, look.opened.ticket});
  if (is_disputed(look, unit)) obstacles.push_back({disputed_serial, name_of(look.opened)});
  if (tag_says_otherwise(look)) obstacles.push_back({tag_of_other_type, look.opened.tag_type});
  if (look.master.hold_release != HoldRule::anyone && !is_second_look(look) && held_by(unit))
    obstacles.push_back({on_hold, unit.serial});
  if (look.variant.empty()) obstacles.push_back({variant_unknown, ""});
  add_steps(look, obstacles);
  add_results(look, unit, obstacles);
  return obstacles;
}

std::optional<std::string_view> hold_only_reason(const Inspection& state, const UnitRecord& unit) {
  if (!state.open) return std::nullopt;
  if (is_disputed(*state.open, unit)) return "two_with_one_serial";
  if (tag_says_otherwise(*state.open)) return "other_variant_tag";
  if (has_something_else(*state.open)) return "something_else";
  return std::nullopt;
}

std::optional<std::string_view> hold_reason(const Inspection& state, const UnitRecord& unit) {
  if (!state.open) return std::nullopt;
  if (const auto only = hold_only_reason(state, unit)) return only;
  const OpenLook& look = *state.open;
  if (look.opened.serial.empty()) return "no_tag";
  if (!look.findings.empty()) return "finding";
  const auto obstacles = obstacles_to_accept(state, unit);
  if (has(obstacles, on_hold)) return "not_released";
  if (has(obstacles, variant_unknown)) return "variant_unknown";
  if (has(obstacles, result_failed)) return "result_failed";
  if (has(obstacles, result_missing)) return "result_missing";
  return std::nullopt;
}

std::vector<Disposition> possible_dispositions(const Inspection& state, const UnitRecord& unit) {
  const auto obstacles = obstacles_to_accept(state, unit);
  if (!state.open || has(obstacles, finding_missing)) return {};
  if (obstacles.empty()) return {Disposition::accept};
  if (hold_only_reason(state, unit)) return {Disposition::hold};
  const bool found = !state.open->findings.empty();
  std::vector<Disposition> possible;
  if (found && !state.open->opened.serial.empty()) possible.push_back(Disposition::rework);
  if (hold_reason(state, unit)) possible.push_back(Disposition::hold);
  if (found) possible.push_back(Disposition::scrap);
  return possible;
}

std::string_view to_word(Obstacle::Why why) {
  switch (why) {
    case step_unanswered:
      return "step_unanswered";
    case answers_differ:
      return "answers_differ";
    case finding_missing:
      return "finding_missing";
    case finding_open:
      return "finding_open";
    case result_missing:
      return "result_missing";
    case result_failed:
      return "result_failed";
    case no_serial:
      return "no_serial";
    case tag_of_other_type:
      return "tag_of_other_type";
    case disputed_serial:
      return "disputed_serial";
    case variant_unknown:
      return "variant_unknown";
    case on_hold:
      return "on_hold";
  }
  return "?";
}

}  // namespace lastlook::flows
