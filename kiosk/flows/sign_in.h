// SPDX-License-Identifier: Apache-2.0
// Choosing a name, entering a PIN on a pad, waiting for its check. The check takes long on purpose
// and runs elsewhere: the pad hands out what to check and is told what came of it. Pure.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "kiosk/domain/words.h"
#include "kiosk/flows/inspection.h"

namespace lastlook::flows {

inline constexpr std::size_t shortest_pin = 4, longest_pin = 12;
inline constexpr int locked_out_after = 10;  // wrong PINs in a row

struct SignInPad {
  enum class Stage { choose, pin, checking };
  // What the screen says beside the pad: text key "sign_in.<trouble>".
  enum class Trouble { none, too_short, wrong_pin, wait, check_failed };
  struct Misses {
    int count = 0;              // in a row
    std::int64_t until_us = 0;  // of the forward clock: no check before
    bool operator==(const Misses&) const = default;
  };

  Stage stage = Stage::choose;
  Trouble trouble = Trouble::none;
  std::string person;
  domain::Role role = domain::Role::inspector;
  std::string digits;                    // entered so far; drawn as dots, gone once handed out
  std::int64_t checks = 0;               // handed out; the number of the newest
  std::map<std::string, Misses> misses;  // by person: leaving the pad does not forget them
  bool operator==(const SignInPad&) const = default;
};

std::string_view to_word(SignInPad::Trouble trouble);

struct ChoosePerson {
  std::string person;
  domain::Role role = domain::Role::inspector;
};
struct PressDigit {
  char digit = '0';  // anything else is not on the pad and changes nothing
};
struct RubOut {};
struct EnterPin {};
struct LeavePad {};  // back to the names
struct PinChecked {
  std::int64_t check = 0;  // which one
  std::string person;
  bool right = false;
};
struct PinCheckFailed {  // the check itself did not work: no miss
  std::int64_t check = 0;
};
using PadEvent =
    std::variant<ChoosePerson, PressDigit, RubOut, EnterPin, LeavePad, PinChecked, PinCheckFailed>;

struct PinToCheck {
  std::int64_t check = 0;
  std::string person, pin;
};

struct PadOutcome {
  SignInPad pad;
  std::optional<PinToCheck> check;  // run it on a task thread
  std::optional<SignIn> sign_in;    // hand it to the station
};

// What stands against somebody's signing in on a day, "2026-11-25". qualified_until: the last day
// of the eyesight test or certificate; empty: the site keeps none here.
std::vector<domain::Bar> bars_against(int wrong_in_a_row, const std::string& qualified_until,
                                      const std::string& today);

// A pad that knows the wrong PINs in a row, by person, from before the program was started: the
// wait begins anew.
SignInPad with_misses(const std::map<std::string, int>& in_a_row, std::int64_t mono_us);

// mono_us: of the forward clock, so that setting the wall clock shortens no wait.
PadOutcome press(SignInPad pad, const PadEvent& event, std::int64_t mono_us);

// Seconds, rounded up, until the chosen person may try again; 0: now. After the nth wrong PIN in a
// row 2^(n-1) seconds, 60 at most.
int seconds_to_wait(const SignInPad& pad, std::int64_t mono_us);

}  // namespace lastlook::flows
