// SPDX-License-Identifier: Apache-2.0
// A defect that comes too often makes the site's plan due; somebody is called, and says what came
// of it. A call for help is the same without a plan.
#include <fmt/format.h>

#include <algorithm>

#include "kiosk/domain/calendar.h"
#include "kiosk/flows/case.h"

namespace lastlook::flows {
namespace {

using namespace domain;

constexpr std::int64_t day_us = 86'400'000'000;

bool fits(const ReactionPlan& plan, const std::string& component, const std::string& defect) {
  return plan.defect == defect && (plan.component.empty() || plan.component == component);
}

bool has_it(const ClosedWithFindings& look, const ReactionPlan& plan) {
  return std::ranges::any_of(look.found,
                             [&](const auto& it) { return fits(plan, it.component, it.defect); });
}

// The open look, as it will have been closed.
ClosedWithFindings closing(const Case& at) {
  ClosedWithFindings look{at.state.open->opened.look, at.now.wall_us, {}};
  for (const FindingAdded& finding : at.state.open->findings)
    look.found.push_back({finding.component, finding.defect});
  return look;
}

// What was done about it covers the looks until then; while something is being done, it is not
// raised again.
struct Covered {
  bool is_open = false;
  std::int64_t until_us = 0;
};

Covered covered(const std::vector<Reaction>& known, const ReactionPlan& plan) {
  Covered covered;
  for (const Reaction& one : known) {
    if (one.plan != plan.id) continue;
    covered.is_open = covered.is_open || one.is_open();
    covered.until_us = std::max(covered.until_us, one.settled_us);
  }
  return covered;
}

std::optional<ReactionRaised> due(const ReactionPlan& plan,
                                  const std::vector<ClosedWithFindings>& newest_first,
                                  const Covered& covered) {
  if (covered.is_open || !has_it(newest_first.front(), plan)) return std::nullopt;
  ReactionRaised raised;
  raised.plan = plan.id;
  raised.defect = plan.defect;
  raised.component = plan.component;
  for (const ClosedWithFindings& look : newest_first) {
    if (raised.in_units == plan.in_units || look.closed_us <= covered.until_us) break;
    ++raised.in_units;
    if (has_it(look, plan)) raised.looks.push_back(look.look);
  }
  raised.times = std::ssize(raised.looks);
  if (raised.times < plan.times) return std::nullopt;
  raised.reaction = fmt::format("{}-{}", plan.id, newest_first.front().look);
  return raised;
}

bool closes(const Outcome& outcome) {
  return std::ranges::any_of(outcome.happenings,
                             [](const auto& it) { return std::holds_alternative<LookClosed>(it); });
}

// Read only where one of its findings has a plan: most looks ask the records nothing.
std::vector<const ReactionPlan*> plans_for(const OpenLook& look) {
  std::vector<const ReactionPlan*> plans;
  for (const ReactionPlan& plan : look.master.reaction_plans)
    if (std::ranges::any_of(look.findings, [&](const FindingAdded& it) {
          return fits(plan, it.component, it.defect);
        }))
      plans.push_back(&plan);
  return plans;
}

}  // namespace

Status raise_reactions(const Case& at, Outcome& outcome) {
  if (!closes(outcome) || is_second_look(*at.state.open)) return {};
  const auto plans = plans_for(*at.state.open);
  if (plans.empty()) return {};
  const auto longest = std::ranges::max(plans, {}, &ReactionPlan::in_units)->in_units;
  // A shift that began before midnight, and the one before it.
  const std::string from = iso_date(local_time(at.now.wall_us - 2 * day_us, at.now.offset_min));
  auto looks = at.lookups.last_looks(from, longest);
  if (!looks) return tl::unexpected(looks.error());
  auto known = at.lookups.reactions_since(at.now.wall_us - 2 * day_us);
  if (!known) return tl::unexpected(known.error());
  auto open = at.lookups.open_reactions();
  if (!open) return tl::unexpected(open.error());
  known->insert(known->end(), open->begin(), open->end());
  looks->insert(looks->begin(), closing(at));
  for (const ReactionPlan* plan : plans)
    if (auto raised = due(*plan, *looks, covered(*known, *plan))) {
      outcome.notices.push_back(
          {"reaction_due",
           {plan->defect, std::to_string(raised->times), std::to_string(raised->in_units)}});
      outcome.happenings.emplace_back(*std::move(raised));
    }
  return {};
}

Result<Outcome> on(const Case& at, const SettleReaction& event) {
  if (!may(at.state.role, Right::settle)) return notice("needs_other_role");
  if (is_blank(event.why))
    return fail(Category::bad_input, "a reaction is not settled without saying what was done");
  const auto open = at.lookups.open_reactions();
  if (!open) return tl::unexpected(open.error());
  if (std::ranges::count(*open, event.reaction, &Reaction::reaction) == 0)
    return notice("already_settled");
  return happened(ReactionSettled{event.reaction, event.why});
}

Result<Outcome> on(const Case& at, const CallHelp&) {
  const auto open = at.lookups.open_help();
  if (!open) return tl::unexpected(open.error());
  if (*open) return notice("help_called");
  const std::string look = at.state.open ? at.state.open->opened.look : "";
  return happened(HelpCalled{"h" + at.lookups.new_finding_id().substr(1), look});
}

Result<Outcome> on(const Case& at, const HelpIsHere&) {
  const auto open = at.lookups.open_help();
  if (!open) return tl::unexpected(open.error());
  if (!*open) return Outcome{};
  return happened(HelpCame{(*open)->help});
}

}  // namespace lastlook::flows
