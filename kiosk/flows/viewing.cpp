// SPDX-License-Identifier: Apache-2.0
// The place of the look, once a shift: what is badly lit, or seen from too far, is not seen. Visual
// testing is commonly held to 500 lx and more at the surface, from 600 mm and less (EN 13018, ISO
// 17637, from memory); the site says what holds here.
#include <fmt/format.h>

#include <algorithm>

#include "kiosk/domain/calendar.h"
#include "kiosk/flows/case.h"

namespace lastlook::flows {
namespace {

using namespace domain;

constexpr std::int64_t brightest_lux = 200'000;  // more than the sun gives

bool is_good(const Viewing& wanted, bool lamp, std::int64_t lux, bool distance) {
  return lamp && distance && lux >= wanted.least_lux;
}

}  // namespace

Result<bool> viewing_is_good(const Case& at) {
  if (!at.state.master.viewing) return true;
  const ShiftOfDay today = shift_of(at.state.master, at.now);
  const auto checks = at.lookups.viewing_checks(today.production_date, today.shift);
  if (!checks) return tl::unexpected(checks.error());
  return !checks->empty();
}

Result<Outcome> on(const Case& at, const CheckViewing& event) {
  const auto& wanted = at.state.master.viewing;
  if (!wanted) return fail(Category::refused, "this site does not ask for the place of the look");
  if (event.lux < 0 || event.lux > brightest_lux)
    return fail(Category::bad_input,
                fmt::format("{} lx, expected 0 to {}", event.lux, brightest_lux));
  const bool good = is_good(*wanted, event.lamp, event.lux, event.distance);
  const bool allowed = !is_blank(event.allowed_by) && may(event.role, Right::settle) &&
                       event.allowed_by != at.state.person;
  const bool own = may(at.state.role, Right::settle);
  if (!good && !allowed && !own) return notice("viewing_refused");
  std::string by;
  if (!good) by = allowed ? event.allowed_by : at.state.person;
  return happened(ViewingChecked{event.lamp, event.lux, event.distance, by});
}

}  // namespace lastlook::flows
