// SPDX-License-Identifier: Apache-2.0
// A unit comes off hold in two steps: whoever may releases it, then another look decides. A release
// alone accepts nothing.
#include <fmt/format.h>

#include "kiosk/flows/case.h"

namespace lastlook::flows {

using namespace domain;

const PastLook* held_by(const UnitRecord& unit) {
  const PastLook* last = nullptr;
  for (const PastLook& look : unit.looks)
    if (look.disposition && look.second_of.empty() && (!last || look.number >= last->number))
      last = &look;
  const bool holds = last && last->disposition == Disposition::hold && !last->released;
  return holds ? last : nullptr;
}

Result<Outcome> on(const Case& at, const ReleaseHold& event) {
  if (!may(at.state.role, Right::settle)) return notice("needs_other_role");
  const auto look = at.lookups.look(event.look);
  if (!look) return tl::unexpected(look.error());
  if (!*look) return fail(Category::not_found, fmt::format("there is no look '{}'", event.look));
  // Else nobody could say later which unit was released.
  if ((*look)->serial.empty())
    return fail(Category::refused, fmt::format("{} gets its serial first", (*look)->ticket));
  const auto unit = at.lookups.unit((*look)->serial);
  if (!unit) return tl::unexpected(unit.error());
  const PastLook* held = held_by(*unit);
  if (!held || held->look != event.look)
    return fail(Category::refused,
                fmt::format("look '{}' does not keep {} on hold", event.look, (*look)->serial));
  if (is_blank(event.why))
    return fail(Category::bad_input, "a hold is not released without saying why");
  const bool two = at.state.master.hold_release == HoldRule::two_people;
  if (two && (event.second_person.empty() || event.second_person == at.state.person))
    return notice("two_people_needed");
  return happened(
      HoldReleased{event.look, (*look)->serial, event.why, two ? event.second_person : ""});
}

}  // namespace lastlook::flows
