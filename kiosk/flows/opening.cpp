// SPDX-License-Identifier: Apache-2.0
// How a look opens. A scan opens a look for a serial never seen, and asks in every other case.
#include <fmt/format.h>

#include <algorithm>

#include "kiosk/flows/case.h"

namespace lastlook::flows {
namespace {

using namespace domain;

constexpr std::size_t most_seen_bytes = 120;

// What a scanner sent, fit to be kept and shown whatever it was.
std::string as_seen(const std::string& code) {
  std::string seen = code.substr(0, most_seen_bytes);
  std::ranges::replace_if(
      seen, [](char c) { return c < 0x20 || c > 0x7e; }, '?');
  return seen;
}

const OpenLook* parked_with(const Inspection& state, const std::string& serial) {
  const auto found = std::ranges::find(state.parked, serial,
                                       [](const OpenLook& look) { return look.opened.serial; });
  return found == state.parked.end() ? nullptr : &*found;
}

Outcome parked_notice(const OpenLook& look) {
  const ParkReason reason = look.parked ? look.parked->reason : ParkReason::other;
  return notice("parked", {look.opened.serial, word(reason), look.opened.look});
}

const PastLook* closed_last(const UnitRecord& unit) {
  const PastLook* last = nullptr;
  for (const PastLook& look : unit.looks)
    if (look.disposition && (!last || look.closed_us >= last->closed_us)) last = &look;
  return last;
}

std::int64_t next_number(const UnitRecord& unit) {
  std::int64_t number = 1;
  for (const PastLook& look : unit.looks) number = std::max(number, look.number + 1);
  return number;
}

// While the clock runs, a serial just closed that comes again is the same label under the scanner.
bool is_just_closed(const Case& at, std::int64_t closed_us) {
  const std::int64_t gone_us = at.now.wall_us - closed_us;
  return gone_us >= 0 && gone_us <= std::int64_t{at.state.master.double_scan_s} * 1'000'000;
}

bool is_second_look_just_closed(const Case& at, const std::string& serial) {
  const auto& last = at.state.last;
  return last && last->is_second && last->serial == serial && is_just_closed(at, last->closed_us);
}

Outcome notice_of_return(const Case& at, const UnitRecord& unit, const PastLook& last) {
  const std::string disposition = word(*last.disposition);
  if (is_just_closed(at, last.closed_us)) return notice("just_closed", {unit.serial, disposition});
  const auto closed = std::ranges::count_if(
      unit.looks, [](const PastLook& look) { return look.disposition.has_value(); });
  return notice("return_or_twin", {unit.serial, disposition, std::to_string(closed)});
}

Outcome other_unit_open(const OpenLook& look, const std::string& code) {
  const std::string seen = as_seen(code);
  Outcome outcome = happened(OtherScanSeen{look.opened.look, name_of(look.opened), seen});
  outcome.notices.push_back({"other_unit_open", {name_of(look.opened), seen}});
  return outcome;
}

Outcome scanned_while_open(const OpenLook& look, const Result<TagCode>& read,
                           const std::string& code) {
  const LookOpened& opened = look.opened;
  const bool same_serial = read && !opened.serial.empty() && read->serial == opened.serial;
  // The same serial on a tag of another type is another tag.
  const bool same_type =
      read && (read->type.empty() || opened.tag_type.empty() || read->type == opened.tag_type);
  if (same_serial && same_type) return notice("double_scan", {opened.serial});
  return other_unit_open(look, code);
}

Result<LookOpened> under_ticket(const Case& at) {
  auto ticket = at.lookups.new_ticket();
  if (!ticket) return tl::unexpected(ticket.error());
  LookOpened opened;
  opened.look = at.lookups.new_look_id();
  opened.ticket = *std::move(ticket);
  opened.number = 0;
  opened.revision = at.state.master.revision;
  return opened;
}

// A second body carries the serial of the open unit: the open one becomes a hold, and the other
// waits its turn; scanned then, it finds a disputed serial.
Outcome twin_of_open(const OpenLook& look) {
  Outcome outcome;
  if (!look.disputed) outcome = happened(SerialDisputed{look.opened.serial, look.opened.look, ""});
  outcome.notices.push_back({"twin_of_open", {look.opened.serial}});
  return outcome;
}

Status ready(const Case& at) {
  if (at.state.master.variants.empty())
    return fail(Category::refused, "this station has no master data yet, no unit can be looked at");
  return {};
}

// A second look that was placed aside goes on at once: the question would show the unit's history.
Result<Outcome> scanned_parked(const Case& at, const OpenLook& look) {
  if (is_second_look(look)) return on(at, Resume{look.opened.look});
  return parked_notice(look);
}

}  // namespace

Outcome open_unit(const Case& at, const TagCode& tag, const UnitRecord& unit, bool typed) {
  const Master& master = at.state.master;
  LookOpened opened;
  opened.look = at.lookups.new_look_id();
  opened.serial = tag.serial;
  opened.code = tag.code;
  opened.typed = typed;
  opened.tag_type = tag.type;
  opened.number = next_number(unit);
  opened.revision = master.revision;
  Outcome outcome;
  if (master.variant(unit.variant)) {
    opened.variant = unit.variant;
    opened.variant_source = VariantSource::build_record;
  } else if (!unit.variant.empty()) {
    outcome.notices.push_back({"variant_not_in_master", {tag.serial, unit.variant}});
  }
  if (tag_contradicts(master, tag.type, opened.variant))
    outcome.notices.push_back({"other_variant_tag", {tag.type, opened.variant}});
  const std::string look = opened.look, variant = opened.variant;
  outcome.happenings.emplace_back(std::move(opened));
  draw_steps(at, look, variant, outcome);
  return outcome;
}

Result<Outcome> on(const Case& at, const Scan& event) {
  if (auto status = ready(at); !status) return tl::unexpected(status.error());
  const auto read = read_code(at.state.master, event.code);
  if (at.state.open) return scanned_while_open(*at.state.open, read, event.code);
  if (at.state.challenge.open) return scanned_while_shown(*at.state.challenge.open, read);
  if (!read) return notice("code_not_read", {as_seen(event.code)});
  if (const ChallengePart* part = at.state.master.challenge_part(read->serial))
    return show_part(at, *part);
  if (const auto good = viewing_is_good(at); !good || !*good)
    return good ? Result<Outcome>(notice("viewing_first")) : tl::unexpected(good.error());
  if (const OpenLook* look = parked_with(at.state, read->serial)) return scanned_parked(at, *look);
  const auto unit = at.lookups.unit(read->serial);
  if (!unit) return tl::unexpected(unit.error());
  if (unit->disputed) return notice("disputed_serial", {read->serial});
  if (unit->second_look) return open_second_look(at, *read, *unit, event.typed);
  if (is_second_look_just_closed(at, read->serial))
    return notice("second_look_closed", {read->serial});
  if (const PastLook* last = closed_last(*unit)) return notice_of_return(at, *unit, *last);
  return open_unit(at, *read, *unit, event.typed);
}

Result<Outcome> on(const Case& at, const OtherTagSeen& event) {
  if (!at.state.open || at.state.open->opened.look != event.look) return Outcome{};
  const LookOpened& opened = at.state.open->opened;
  const auto read = read_code(at.state.master, event.code);
  if (!read || read->serial == opened.serial) return Outcome{};
  const std::string seen = as_seen(event.code);
  Outcome outcome = happened(OtherScanSeen{opened.look, name_of(opened), seen});
  outcome.notices.push_back({"other_tag_seen", {name_of(opened), seen}});
  return outcome;
}

Result<Outcome> on(const Case& at, const NoReadableTag&) {
  if (auto status = ready(at); !status) return tl::unexpected(status.error());
  if (at.state.open) return notice("close_or_park_first", {name_of(at.state.open->opened)});
  if (const auto good = viewing_is_good(at); !good || !*good)
    return good ? Result<Outcome>(notice("viewing_first")) : tl::unexpected(good.error());
  const auto opened = under_ticket(at);
  if (!opened) return tl::unexpected(opened.error());
  Outcome outcome = happened(*opened);
  outcome.notices.push_back({"under_ticket", {opened->ticket}});
  return outcome;
}

Result<Outcome> on(const Case& at, const StartReturn& event) {
  if (at.state.open) return notice("close_or_park_first", {name_of(at.state.open->opened)});
  const auto read = read_code(at.state.master, event.code);
  if (!read) return notice("code_not_read", {as_seen(event.code)});
  if (const OpenLook* look = parked_with(at.state, read->serial)) return parked_notice(*look);
  const auto unit = at.lookups.unit(read->serial);
  if (!unit) return tl::unexpected(unit.error());
  if (unit->looks.empty() && !unit->disputed)
    return fail(Category::refused,
                fmt::format("{} was not looked at before, it cannot return", read->serial));
  if (unit->second_look && !unit->disputed) return open_second_look(at, *read, *unit, false);
  if (unit->looks_differ && !may(at.state.role, Right::settle)) return notice("needs_other_role");
  return open_unit(at, *read, *unit, false);
}

// Both bodies are held: this one by a look under a ticket, the other by the dispute, whatever
// became of it before.
Result<Outcome> on(const Case& at, const AnotherBody& event) {
  const auto read = read_code(at.state.master, event.code);
  if (!read) return notice("code_not_read", {as_seen(event.code)});
  if (at.state.open && at.state.open->opened.serial == read->serial)
    return twin_of_open(*at.state.open);
  if (at.state.open) return notice("close_or_park_first", {name_of(at.state.open->opened)});
  const auto unit = at.lookups.unit(read->serial);
  if (!unit) return tl::unexpected(unit.error());
  const OpenLook* parked = parked_with(at.state, read->serial);
  if (!parked && unit->looks.empty())
    return fail(Category::refused,
                fmt::format("{} was not looked at before, there is no other body", read->serial));
  const auto opened = under_ticket(at);
  if (!opened) return tl::unexpected(opened.error());
  const std::string& other = parked ? parked->opened.look : unit->looks.back().look;
  Outcome outcome = happened(*opened, SerialDisputed{read->serial, opened->look, other});
  outcome.notices.push_back({"twin_held", {read->serial, opened->ticket}});
  return outcome;
}

// A wrong touch here is put right by another one, as long as nothing rests on it.
Result<Outcome> on(const Case& at, const ConfirmVariant& event) {
  if (!at.state.open) return nothing_open();
  const OpenLook& look = *at.state.open;
  if (!look.master.variant(event.variant))
    return fail(Category::bad_input, fmt::format("'{}' is not a variant of revision {}",
                                                 event.variant, look.master.revision));
  if (look.opened.variant_source == VariantSource::build_record)
    return fail(Category::refused, fmt::format("the build record says that {} is a {}",
                                               look.opened.serial, look.variant));
  if (look.variant == event.variant) return Outcome{};
  const bool answered = std::ranges::any_of(
      look.steps, [](const StepState& step) { return step.answer != Answer::not_answered; });
  if (answered || !look.findings.empty())
    return fail(Category::refused,
                "answers rest on the variant, take them back before another one is confirmed");
  Outcome outcome = happened(VariantConfirmed{look.opened.look, event.variant});
  if (!is_second_look(look)) draw_steps(at, look.opened.look, event.variant, outcome);
  const std::string& type = look.opened.tag_type;
  if (tag_contradicts(look.master, type, event.variant))
    outcome.notices.push_back({"other_variant_tag", {type, event.variant}});
  return outcome;
}

}  // namespace lastlook::flows
