// SPDX-License-Identifier: Apache-2.0
// Claims from the field: a unit came back, and somebody judges whether its last look ought to have
// seen why.
#include <fmt/format.h>

#include "kiosk/domain/calendar.h"
#include "kiosk/flows/case.h"

namespace lastlook::flows {

using namespace domain;

namespace {

tl::unexpected<Error> bad(std::string what) {
  return fail(Category::bad_input, std::move(what));
}

// Whether this claim is among those of the unit.
Result<bool> is_open(const Case& at, const std::string& serial, const std::string& claim) {
  const auto unit = at.lookups.unit(serial);
  if (!unit) return tl::unexpected(unit.error());
  return std::ranges::any_of(unit->claims,
                             [&](const ClaimRecord& one) { return one.opened.claim == claim; });
}

}  // namespace

Result<Outcome> on(const Case& at, const OpenClaim& event) {
  const ClaimOpened& claim = event.claim;
  if (!is_quality_engineer(at, event.by)) return notice("needs_quality_engineer");
  if (is_blank(claim.claim) || is_blank(claim.serial))
    return bad("a claim has a number and the serial of a unit");
  if (is_blank(claim.complaint)) return bad("a claim says what was complained of");
  if (!is_date(claim.reported))
    return bad(fmt::format("'{}' is not a date, expected one as 2026-11-25", claim.reported));
  const auto open = is_open(at, claim.serial, claim.claim);
  if (!open) return tl::unexpected(open.error());
  if (*open)
    return fail(Category::refused,
                fmt::format("claim {} of {} is open already", claim.claim, claim.serial));
  return happened(claim);
}

Result<Outcome> on(const Case& at, const JudgeClaim& event) {
  const ClaimJudged& verdict = event.verdict;
  if (!is_quality_engineer(at, event.by)) return notice("needs_quality_engineer");
  const auto open = is_open(at, verdict.serial, verdict.claim);
  if (!open) return tl::unexpected(open.error());
  if (!*open)
    return fail(Category::not_found, fmt::format("claim {} of {} was not opened at this station",
                                                 verdict.claim, verdict.serial));
  if (is_blank(verdict.why)) return bad("a claim is not judged without saying why");
  const Master& master = at.state.master;
  if (!verdict.component.empty() && !master.component(verdict.component))
    return bad(fmt::format("there is no component '{}'", verdict.component));
  if (!verdict.defect.empty() && !master.defect(verdict.defect))
    return bad(fmt::format("there is no defect '{}'", verdict.defect));
  // What a look ought to have seen is at a place where it looks.
  if (verdict.verdict == ClaimVerdict::escaped && verdict.component.empty())
    return bad("an escape names the component that the last look ought to have stopped");
  return happened(verdict);
}

}  // namespace lastlook::flows
