// SPDX-License-Identifier: Apache-2.0
// Blind second looks (rule 9): units drawn at known rates when their look closes, rejected ones
// before rework as well as accepted ones, held back and looked at again by another person. A rate
// and the number that it was held against are in the journal, so that anybody can say later what
// each drawn unit stands for.
#include <algorithm>

#include "kiosk/flows/case.h"

namespace lastlook::flows {

using namespace domain;

Outcome open_second_look(const Case& at, const TagCode& tag, const UnitRecord& unit, bool typed) {
  if (std::ranges::count(unit.second_look->people, at.state.person) > 0)
    return notice("second_look_by_other", {tag.serial});
  Outcome outcome = open_unit(at, tag, unit, typed);
  auto& opened = std::get<LookOpened>(outcome.happenings.front());
  opened.second_of = unit.second_look->look;
  opened.number = unit.second_look->number;
  // No opinion is shown in it anyway.
  std::erase_if(outcome.happenings,
                [](const auto& it) { return std::holds_alternative<AnswerFirstDrawn>(it); });
  return outcome;
}

Result<bool> repeats_own_look(const Case& at, const OpenLook& look, const std::string& person) {
  if (!is_second_look(look)) return false;
  const auto first = at.lookups.look(look.opened.second_of);
  if (!first) return tl::unexpected(first.error());
  return *first && std::ranges::count((*first)->people, person) > 0;
}

// Not under a ticket, for nothing could be scanned to open the second look; and not under a
// concession, for a second person would stop what it permits.
void draw_for_second_look(const Case& at, Outcome& outcome) {
  const OpenLook& look = *at.state.open;
  if (outcome.happenings.empty() || is_second_look(look) || look.opened.serial.empty()) return;
  const auto& closed = std::get<LookClosed>(outcome.happenings.front());
  const double rate = look.master.second_looks.of(closed.disposition);
  if (rate <= 0.0 || !closed.concession.empty()) return;
  const double number = at.lookups.draw();
  if (number < rate)
    outcome.happenings.emplace_back(
        SecondLookDrawn{look.opened.look, closed.disposition, rate, number});
}

}  // namespace lastlook::flows
