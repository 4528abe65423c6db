// SPDX-License-Identifier: Apache-2.0
// Entries that correct or complete a closed look. Nothing is overwritten.
#include <fmt/format.h>

#include <algorithm>

#include "kiosk/flows/case.h"

namespace lastlook::flows {
namespace {

using namespace domain;

// An inspector puts right the own last touch, while its unit is still the last one closed here, and
// takes nothing off hold. All else is for a supervisor or a quality engineer.
bool may_correct(const Inspection& state, const PastLook& look) {
  if (may(state.role, Right::settle)) return true;
  return state.last && state.last->look == look.look && state.last->person == state.person &&
         look.disposition != Disposition::hold;
}

bool is_unfinished(const Inspection& state, const std::string& look) {
  const auto is_it = [&](const OpenLook& it) { return it.opened.look == look; };
  return (state.open && is_it(*state.open)) || std::ranges::any_of(state.parked, is_it);
}

Result<PastLook> known_look(const Case& at, const std::string& look) {
  const auto found = at.lookups.look(look);
  if (!found) return tl::unexpected(found.error());
  if (!*found) return fail(Category::not_found, fmt::format("there is no look '{}'", look));
  return **found;
}

}  // namespace

// Never to accept: that takes a look with every step answered. A unit stopped by mistake gets
// another one, and both stay on record.
Result<Outcome> on(const Case& at, const CorrectDisposition& event) {
  const auto look = known_look(at, event.look);
  if (!look) return tl::unexpected(look.error());
  if (!look->disposition || is_unfinished(at.state, event.look))
    return fail(Category::refused, "this look is not closed, there is no disposition to correct");
  if (is_blank(event.why))
    return fail(Category::bad_input, "a disposition is not corrected without saying why");
  // Once it is closed it is blind no longer, and what was said blind is what counts.
  if (!look->second_of.empty()) return notice("second_look_stands", {look->serial});
  if (!may_correct(at.state, *look)) return notice("needs_other_role");
  if (event.to == *look->disposition) return Outcome{};
  if (event.to == Disposition::accept) return notice("accept_needs_a_look");
  const bool stopped_for_good = event.to == Disposition::rework || event.to == Disposition::scrap;
  if (event.to == Disposition::rework && look->serial.empty())
    return notice("no_rework_under_ticket", {look->ticket});
  if (stopped_for_good && look->findings.empty()) return notice("finding_needed", {word(event.to)});
  return happened(
      DispositionCorrected{event.look, look->closed_seq, *look->disposition, event.to, event.why});
}

// Links once: a serial that proves wrong afterwards is a dispute.
Result<Outcome> on(const Case& at, const LinkSerial& event) {
  const auto look = known_look(at, event.look);
  if (!look) return tl::unexpected(look.error());
  if (look->ticket.empty())
    return fail(Category::refused, "this look was made under a serial, not under a ticket");
  if (!may(at.state.role, Right::settle)) return notice("needs_other_role");
  if (!look->disposition || is_unfinished(at.state, event.look))
    return notice("hold_first", {look->ticket});
  const auto read = read_code(at.state.master, event.code);
  if (!read) return notice("code_not_read", {event.code});
  if (is_blank(event.why))
    return fail(Category::bad_input, "a serial is not linked without saying how it became known");
  if (read->serial == look->serial) return Outcome{};
  if (!look->serial.empty())
    return fail(Category::refused,
                fmt::format("{} is linked to {} already", look->ticket, look->serial));
  return happened(SerialLinked{event.look, look->ticket, read->serial, event.why});
}

}  // namespace lastlook::flows
