// SPDX-License-Identifier: Apache-2.0
// How a look ends, or waits. A person's Close is the only way to an accept.
#include <fmt/format.h>

#include <algorithm>

#include "kiosk/flows/case.h"
#include "kiosk/flows/concession.h"
#include "kiosk/flows/hold.h"

namespace lastlook::flows {
namespace {

using namespace domain;

const Obstacle* first(const std::vector<Obstacle>& obstacles, Obstacle::Why why) {
  const auto found = std::ranges::find(obstacles, why, &Obstacle::why);
  return found == obstacles.end() ? nullptr : &*found;
}

Outcome refuse_accept(std::vector<Obstacle> obstacles) {
  Outcome outcome = notice("accept_refused");
  outcome.obstacles = std::move(obstacles);
  return outcome;
}

Result<Outcome> accept_by_concession(const Case& at, const std::string& number,
                                     std::vector<Obstacle> obstacles) {
  const OpenLook& look = *at.state.open;
  const auto granted = at.lookups.concessions();
  if (!granted) return tl::unexpected(granted.error());
  if (const auto reason = lacks(*granted, number, look.variant, look.findings, at.now.wall_us)) {
    Outcome outcome = refuse_accept(std::move(obstacles));
    outcome.notices.push_back({"concession_not_valid", {number, std::string(*reason)}});
    return outcome;
  }
  std::erase_if(obstacles,
                [](const Obstacle& it) { return it.why == Obstacle::Why::finding_open; });
  if (!obstacles.empty()) return refuse_accept(std::move(obstacles));
  return happened(LookClosed{look.opened.look, Disposition::accept, "", number});
}

Result<Outcome> accept(const Case& at, const std::string& concession,
                       std::vector<Obstacle> obstacles) {
  // A number that nothing needed is not used up.
  const bool needed = !at.state.open->findings.empty();
  if (needed && !concession.empty())
    return accept_by_concession(at, concession, std::move(obstacles));
  if (!obstacles.empty()) return refuse_accept(std::move(obstacles));
  return happened(LookClosed{at.state.open->opened.look, Disposition::accept, "", ""});
}

// A unit without a serial goes nowhere but on hold or to scrap: reworked, nobody could say when it
// returns.
Outcome stop(const Case& at, Disposition disposition, const UnitRecord& unit,
             const std::vector<Obstacle>& obstacles) {
  const OpenLook& look = *at.state.open;
  if (const Obstacle* open = first(obstacles, Obstacle::Why::finding_missing))
    return notice("finding_missing", {open->subject});
  const auto only_hold = hold_only_reason(at.state, unit);
  if (only_hold && disposition != Disposition::hold)
    return notice("hold_only", {std::string(*only_hold)});
  if (disposition == Disposition::rework && look.opened.serial.empty())
    return notice("no_rework_under_ticket", {look.opened.ticket});
  const auto reason = hold_reason(at.state, unit);
  const bool grounded =
      disposition == Disposition::hold ? reason.has_value() : !look.findings.empty();
  if (!grounded) return notice("finding_needed", {word(disposition)});
  const std::string why(disposition == Disposition::hold ? *reason : "");
  return happened(LookClosed{look.opened.look, disposition, why, ""});
}

}  // namespace

Result<Outcome> on(const Case& at, const Close& event) {
  if (!at.state.open) return nothing_open();
  const std::string& serial = at.state.open->opened.serial;
  const auto unit = serial.empty() ? Result<UnitRecord>(UnitRecord{}) : at.lookups.unit(serial);
  if (!unit) return tl::unexpected(unit.error());
  if (is_second_look(*at.state.open) && !event.concession.empty())
    return fail(Category::refused, "a second look says what is seen, it takes no concession");
  auto obstacles = obstacles_to_accept(at.state, *unit);
  auto outcome = event.disposition == Disposition::accept
                     ? accept(at, event.concession, std::move(obstacles))
                     : Result<Outcome>(stop(at, event.disposition, *unit, obstacles));
  if (!outcome) return outcome;
  draw_for_second_look(at, *outcome);
  if (auto raised = raise_reactions(at, *outcome); !raised) return tl::unexpected(raised.error());
  return outcome;
}

Result<Outcome> on(const Case& at, const Park& event) {
  if (!at.state.open) return nothing_open();
  return happened(LookParked{at.state.open->opened.look, event.reason, event.note});
}

Result<Outcome> on(const Case& at, const Resume& event) {
  if (at.state.open) return notice("close_or_park_first", {name_of(at.state.open->opened)});
  const auto is_it = [&](const OpenLook& look) { return look.opened.look == event.look; };
  if (std::ranges::none_of(at.state.parked, is_it))
    return fail(Category::refused, fmt::format("look '{}' is not parked", event.look));
  const auto own =
      repeats_own_look(at, *std::ranges::find_if(at.state.parked, is_it), at.state.person);
  if (!own) return tl::unexpected(own.error());
  if (*own)
    return notice("second_look_by_other",
                  {name_of(std::ranges::find_if(at.state.parked, is_it)->opened)});
  return happened(LookResumed{event.look});
}

}  // namespace lastlook::flows
