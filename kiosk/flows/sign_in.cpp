// SPDX-License-Identifier: Apache-2.0
#include "kiosk/flows/sign_in.h"

#include <algorithm>
#include <utility>

namespace lastlook::flows {
namespace {

using Stage = SignInPad::Stage;
using Trouble = SignInPad::Trouble;

constexpr std::int64_t second_us = 1'000'000;
constexpr int longest_wait_s = 60;

int wait_after_s(int misses) {
  return misses > 6 ? longest_wait_s : std::min(longest_wait_s, 1 << (misses - 1));
}

struct Press {
  PadOutcome& out;
  std::int64_t mono_us;
  SignInPad& pad = out.pad;

  void to_names() const {
    pad.stage = Stage::choose;
    pad.trouble = Trouble::none;
    pad.person.clear();
    pad.digits.clear();
  }

  void operator()(const ChoosePerson& it) const {
    if (pad.stage == Stage::checking) return;
    to_names();
    pad.stage = Stage::pin;
    pad.person = it.person;
    pad.role = it.role;
  }

  void operator()(const PressDigit& it) const {
    if (pad.stage != Stage::pin || it.digit < '0' || it.digit > '9') return;
    if (pad.digits.size() < longest_pin) pad.digits += it.digit;
    pad.trouble = Trouble::none;
  }

  void operator()(const RubOut&) const {
    if (pad.stage == Stage::pin && !pad.digits.empty()) pad.digits.pop_back();
  }

  void operator()(const EnterPin&) const {
    if (pad.stage != Stage::pin) return;
    if (pad.digits.size() < shortest_pin) {
      pad.trouble = Trouble::too_short;
    } else if (seconds_to_wait(pad, mono_us) > 0) {
      pad.trouble = Trouble::wait;
    } else {
      pad.stage = Stage::checking;
      pad.trouble = Trouble::none;
      out.check = PinToCheck{++pad.checks, pad.person, std::exchange(pad.digits, {})};
    }
  }

  void operator()(const LeavePad&) const { to_names(); }

  // A wrong PIN counts even if the pad was left meanwhile; a right one then signs nobody in.
  void operator()(const PinChecked& it) const {
    const bool awaited = pad.stage == Stage::checking && it.check == pad.checks;
    if (!it.right) {
      SignInPad::Misses& misses = pad.misses[it.person];
      ++misses.count;
      misses.until_us = mono_us + wait_after_s(misses.count) * second_us;
    }
    if (!awaited) return;
    if (it.right) {
      pad.misses.erase(it.person);
      out.sign_in = SignIn{pad.person, pad.role};
      return to_names();
    }
    pad.stage = Stage::pin;
    pad.trouble = Trouble::wrong_pin;
  }

  void operator()(const PinCheckFailed& it) const {
    if (pad.stage != Stage::checking || it.check != pad.checks) return;
    pad.stage = Stage::pin;
    pad.trouble = Trouble::check_failed;
  }
};

}  // namespace

std::string_view to_word(Trouble trouble) {
  switch (trouble) {
    case Trouble::none:
      return "none";
    case Trouble::too_short:
      return "too_short";
    case Trouble::wrong_pin:
      return "wrong_pin";
    case Trouble::wait:
      return "wait";
    case Trouble::check_failed:
      return "check_failed";
  }
  return "?";
}

std::vector<domain::Bar> bars_against(int wrong_in_a_row, const std::string& qualified_until,
                                      const std::string& today) {
  std::vector<domain::Bar> bars;
  if (wrong_in_a_row >= locked_out_after) bars.push_back(domain::Bar::locked_out);
  if (!qualified_until.empty() && qualified_until < today)
    bars.push_back(domain::Bar::not_qualified);
  return bars;
}

SignInPad with_misses(const std::map<std::string, int>& in_a_row, std::int64_t mono_us) {
  SignInPad pad;
  for (const auto& [person, count] : in_a_row)
    if (count > 0) pad.misses[person] = {count, mono_us + wait_after_s(count) * second_us};
  return pad;
}

PadOutcome press(SignInPad pad, const PadEvent& event, std::int64_t mono_us) {
  PadOutcome out;
  out.pad = std::move(pad);
  std::visit(Press{out, mono_us}, event);
  return out;
}

int seconds_to_wait(const SignInPad& pad, std::int64_t mono_us) {
  const auto found = pad.misses.find(pad.person);
  if (found == pad.misses.end() || found->second.until_us <= mono_us) return 0;
  return static_cast<int>((found->second.until_us - mono_us + second_us - 1) / second_us);
}

}  // namespace lastlook::flows
