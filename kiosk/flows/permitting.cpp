// SPDX-License-Identifier: Apache-2.0
// What lets a unit pass that otherwise would not: a result on paper, a concession.
#include <fmt/format.h>

#include <algorithm>

#include "kiosk/flows/case.h"
#include "kiosk/flows/upstream.h"

namespace lastlook::flows {
namespace {

using namespace domain;

bool counts_on_paper(const Master& master, UpstreamTest test) {
  return std::ranges::any_of(master.required_results, [&](const UpstreamRule& rule) {
    return rule.test == test && rule.away == AwayRule::paper_two_people;
  });
}

bool two_people_here(const EnterPaperResult& event, const std::string& signed_in) {
  const auto& [one, other] = std::tie(event.first_person, event.second_person);
  return !one.empty() && !other.empty() && one != other && (one == signed_in || other == signed_in);
}

// Measured before a rework of a defect that names this test.
bool is_voided(const Master& master, const UnitRecord& unit, const UpstreamResult& result) {
  return std::ranges::any_of(unit.looks, [&](const PastLook& look) {
    if (look.disposition != Disposition::rework || look.closed_us < result.measured_us)
      return false;
    return std::ranges::any_of(look.findings, [&](const FindingAdded& finding) {
      const Defect* defect = master.defect(finding.defect);
      return defect && std::ranges::count(defect->voids, result.test) > 0;
    });
  });
}

Status check_grant(const Inspection& state, const ConcessionGranted& grant, std::int64_t now_us) {
  const auto wrong = [](const std::string& what) { return fail(Category::bad_input, what); };
  if (is_blank(grant.number)) return wrong("number: is empty, a concession has one");
  if (is_blank(grant.authority)) return wrong("authority: is empty, expected who permits it");
  if (!state.master.variant(grant.variant))
    return wrong(fmt::format("variant: '{}' is not one of this plant", grant.variant));
  if (!state.master.component(grant.component))
    return wrong(fmt::format("component: '{}' is not one of this plant", grant.component));
  if (!state.master.defect(grant.defect) || grant.defect == something_else)
    return wrong(fmt::format("defect: '{}' is not a known one, expected one of the catalogue",
                             grant.defect));
  if (grant.quantity < 1)
    return wrong(fmt::format("quantity: {} units, expected 1 or more", grant.quantity));
  if (grant.expires_us <= now_us) return wrong("expiry: lies in the past");
  return {};
}

}  // namespace

// For the case that the network is away, so only where no result is at hand: a paper does not
// outvote a tester.
Result<Outcome> on(const Case& at, const EnterPaperResult& event) {
  const UpstreamTest test = event.result.test;
  if (!counts_on_paper(at.state.master, test)) return notice("not_by_paper", {word(test)});
  if (!two_people_here(event, at.state.person)) return notice("two_people_needed");
  const auto unit = at.lookups.unit(event.serial);
  if (!unit) return tl::unexpected(unit.error());
  const bool is_open = at.state.open && at.state.open->opened.serial == event.serial;
  if (event.serial.empty() || (!is_open && unit->looks.empty() && unit->variant.empty()))
    return fail(Category::not_found,
                fmt::format("there is no unit '{}' to enter a result for", event.serial));
  UpstreamResult result = event.result;
  if (result.measured_us == 0) result.measured_us = at.now.wall_us;
  if (result.measured_us > at.now.wall_us)
    return fail(Category::bad_input, "the result was measured later than now");
  if (standing_of(*unit, test) != Standing::missing) return notice("result_at_hand", {word(test)});
  if (is_voided(at.state.master, *unit, result))
    return notice("measured_before_rework", {word(test)});
  return happened(
      ResultEntered{event.serial, result, true, event.first_person, event.second_person});
}

Result<Outcome> on(const Case& at, const GrantConcession& event) {
  if (!is_quality_engineer(at, event.by)) return notice("needs_quality_engineer");
  if (auto status = check_grant(at.state, event.grant, at.now.wall_us); !status)
    return tl::unexpected(status.error());
  const auto granted = at.lookups.concessions();
  if (!granted) return tl::unexpected(granted.error());
  const bool used = std::ranges::any_of(
      *granted, [&](const Concession& it) { return it.grant.number == event.grant.number; });
  if (used) return notice("concession_number_used", {event.grant.number});
  Outcome outcome = happened(event.grant);
  outcome.notices.push_back({"concession_granted", {event.grant.number}});
  return outcome;
}

}  // namespace lastlook::flows
