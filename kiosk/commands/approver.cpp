// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/approver.h"

#include <fmt/format.h>

#include <algorithm>

#include "kiosk/commands/secret.h"
#include "kiosk/domain/clock.h"
#include "kiosk/flows/station.h"
#include "kiosk/records/people.h"

namespace lastlook::commands {

Status check_approver(const std::string& dir, const std::string& id) {
  const auto people = records::People::open(dir);
  if (!people) return tl::unexpected(people.error());
  const auto all = (*people)->all();
  if (!all) return tl::unexpected(all.error());
  const auto found = std::ranges::find(*all, id, &records::Person::id);
  if (found == all->end() || found->role != domain::Role::quality_engineer)
    return fail(Category::refused,
                fmt::format("--approved-by {}: is no quality engineer of this station", id));
  const auto pin = read_secret(fmt::format("the PIN of {}", found->name));
  if (!pin) return tl::unexpected(pin.error());
  const auto right = (*people)->pin_is_right(found->id, *pin);
  if (!right) return tl::unexpected(right.error());
  if (!*right) return fail(Category::refused, "the PIN is wrong, nothing was changed");
  return {};
}

Status handle_approved(records::Records& records, const flows::Event& event,
                       const std::string& else_reason,
                       const std::map<std::string, std::string>& reasons) {
  domain::SystemClock clock;
  const auto station = flows::Station::open(records, clock);
  if (!station) return tl::unexpected(station.error());
  const auto outcome = (*station)->handle(event);
  if (!outcome) return tl::unexpected(outcome.error());
  if (outcome->notices.empty()) return {};
  const auto known = reasons.find(outcome->notices.front().code);
  return fail(Category::refused, known == reasons.end() ? else_reason : known->second);
}

}  // namespace lastlook::commands
