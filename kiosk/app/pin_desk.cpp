// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/pin_desk.h"

#include <fmt/format.h>

#include <algorithm>

namespace lastlook::app {

Status PinDesk::remember_wrong_pins() {
  const auto wrong = parts_.people.wrong_pins();
  if (!wrong) return tl::unexpected(wrong.error());
  pad_ = flows::with_misses(*wrong, parts_.clock.read().mono_us);
  return {};
}

flows::PadOutcome PinDesk::press(const flows::PadEvent& event) {
  flows::PadOutcome out = flows::press(std::move(pad_), event, parts_.clock.read().mono_us);
  pad_ = out.pad;
  facts_.checking_pin = pad_.stage == flows::SignInPad::Stage::checking;
  facts_.pin_problem = pad_.trouble == flows::SignInPad::Trouble::none
                           ? ""
                           : fmt::format("sign_in.{}", flows::to_word(pad_.trouble));
  return out;
}

bool PinDesk::is_set_aside(const std::string& person, domain::Bar bar) const {
  const auto until = parts_.allowed_until(person, bar);
  if (!until) parts_.not_checked(until.error());
  return until && *until > parts_.clock.read().wall_us;
}

std::vector<domain::Bar> PinDesk::bars_against(const std::string& person) const {
  const auto known = std::ranges::find(facts_.people, person, &records::Person::id);
  if (known == facts_.people.end()) return {};
  const auto misses = pad_.misses.find(person);
  auto bars = flows::bars_against(misses == pad_.misses.end() ? 0 : misses->second.count,
                                  known->qualified_until, facts_.date);
  std::erase_if(bars, [&](domain::Bar bar) { return is_set_aside(person, bar); });
  return bars;
}

void PinDesk::check(const std::string& person, const std::string& pin, Right then) {
  const auto known = std::ranges::find(facts_.people, person, &records::Person::id);
  if (facts_.checking_pin || known == facts_.people.end()) return;
  const std::vector<domain::Bar> bars = bars_against(person);
  if (std::ranges::count(bars, domain::Bar::locked_out) > 0) {
    facts_.barred = screens::Facts::Barred{person, domain::Bar::locked_out};
    return;
  }
  press(flows::ChoosePerson{known->id, known->role});
  for (const char digit : pin) press(flows::PressDigit{digit});
  const flows::PadOutcome out = press(flows::EnterPin{});
  if (!out.check) return;
  parts_.tasks.run(
      parts_.main,
      [check = *out.check, &people = parts_.people] {
        return people.pin_is_right(check.person, check.pin);
      },
      [this, check = *out.check, then = std::move(then)](const Result<bool>& right) {
        checked(check, right, then);
      });
}

void PinDesk::leave() {
  press(flows::LeavePad{});
}

void PinDesk::checked(const flows::PinToCheck& check, const Result<bool>& right,
                      const Right& then) {
  const flows::PadOutcome out = right ? press(flows::PinChecked{check.check, check.person, *right})
                                      : press(flows::PinCheckFailed{check.check});
  if (!right) parts_.not_checked(right.error());
  if (out.sign_in) then(*out.sign_in);
  parts_.changed();
}

}  // namespace lastlook::app
