// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/approver.h"

#include <fmt/format.h>

#include <algorithm>

#include "kiosk/commands/secret.h"
#include "kiosk/domain/clock.h"
#include "kiosk/flows/sign_in.h"
#include "kiosk/flows/station.h"

namespace lastlook::commands {

namespace {

const char* who_has(domain::Right right) {
  switch (right) {
    case domain::Right::keep_people:
      return "administrator";
    case domain::Right::approve:
      return "quality engineer";
    case domain::Right::settle:
      return "supervisor or quality engineer";
    case domain::Right::inspect:
      break;
  }
  return "inspector";
}

}  // namespace

// No PIN is asked for, nor a try counted, where it could change nothing.
Status check_right(records::People& people, const std::string& option, const std::string& id,
                   domain::Right right) {
  const auto all = people.all();
  if (!all) return tl::unexpected(all.error());
  const auto found = std::ranges::find(*all, id, &records::Person::id);
  if (found == all->end() || !domain::may(found->role, right))
    return fail(Category::refused,
                fmt::format("{} {}: is no {} of this station", option, id, who_has(right)));
  const auto wrong = people.wrong_pins();
  if (!wrong) return tl::unexpected(wrong.error());
  if (const auto misses = wrong->find(id);
      misses != wrong->end() && misses->second >= flows::locked_out_after)
    return fail(Category::refused,
                fmt::format("{} {}: is locked out after {} wrong PINs, which a supervisor sets "
                            "aside at the station's screen",
                            option, id, misses->second));
  const auto pin = read_secret(fmt::format("the PIN of {}", found->name));
  if (!pin) return tl::unexpected(pin.error());
  const auto right_pin = people.pin_is_right(id, *pin);
  if (!right_pin) return tl::unexpected(right_pin.error());
  if (!*right_pin) return fail(Category::refused, "the PIN is wrong, nothing was changed");
  return {};
}

Status check_approver(const std::string& dir, const std::string& id) {
  return records::People::open(dir).and_then([&](const auto& people) {
    return check_right(*people, "--approved-by", id, domain::Right::approve);
  });
}

Status handle_approved(records::Records& records, const flows::Event& event,
                       const std::string& else_reason,
                       const std::map<std::string, std::string>& reasons) {
  domain::SystemClock clock;
  const auto station = flows::Station::open(records, clock);
  if (!station) return tl::unexpected(station.error());
  const auto outcome = (*station)->handle(event);
  if (!outcome) return tl::unexpected(outcome.error());
  if (outcome->notices.empty() || !outcome->happenings.empty()) return {};
  const auto known = reasons.find(outcome->notices.front().code);
  return fail(Category::refused, known == reasons.end() ? else_reason : known->second);
}

}  // namespace lastlook::commands
