// SPDX-License-Identifier: Apache-2.0
// Results and build records that come in by themselves. They change what is known of units, never
// what was decided: a unit that waits for a result is taken up again by a person.
#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "kiosk/flows/case.h"

namespace lastlook::flows {

using namespace domain;

namespace {

// The clocks of testers differ from the station's, but not by more.
constexpr std::int64_t most_ahead_us = 3'600'000'000;

bool is_known(const UnitRecord& unit, const UpstreamResult& result) {
  return std::ranges::any_of(unit.results,
                             [&](const KnownResult& known) { return known.result == result; });
}

bool is_of_type(const std::vector<FittedPart>& parts, const std::string& part) {
  return std::ranges::count(parts, part, &FittedPart::part) > 0;
}

// All of them, and of their types no other.
bool are_inside(const UnitRecord& unit, const std::vector<FittedPart>& parts) {
  return std::ranges::all_of(
             parts,
             [&](const FittedPart& one) { return std::ranges::count(unit.parts, one) > 0; }) &&
         std::ranges::all_of(unit.parts, [&](const FittedPart& one) {
           return !is_of_type(parts, one.part) || std::ranges::count(parts, one) > 0;
         });
}

void fit(UnitRecord& unit, const std::vector<FittedPart>& parts) {
  std::erase_if(unit.parts, [&](const FittedPart& one) { return is_of_type(parts, one.part); });
  unit.parts.insert(unit.parts.end(), parts.begin(), parts.end());
}

}  // namespace

Result<Outcome> on(const Case& at, const TakeResults& event) {
  Outcome outcome;
  std::map<std::string, UnitRecord> units;
  const auto unit_of = [&](const std::string& serial) -> Result<UnitRecord*> {
    if (is_blank(serial)) return fail(Category::bad_input, "a result without a serial");
    const auto [found, is_new] = units.try_emplace(serial);
    if (is_new) {
      auto unit = at.lookups.unit(serial);
      if (!unit) return tl::unexpected(unit.error());
      found->second = *std::move(unit);
    }
    return &found->second;
  };
  for (const UnitBuilt& built : event.built) {
    const auto unit = unit_of(built.serial);
    if (!unit) return tl::unexpected(unit.error());
    const bool same_day = built.made.empty() || built.made == (*unit)->made;
    if ((*unit)->variant == built.variant && same_day) continue;
    (*unit)->variant = built.variant;
    (*unit)->made = built.made;
    outcome.happenings.emplace_back(built);
  }
  for (const PartsFitted& fitted : event.fitted) {
    const auto unit = unit_of(fitted.serial);
    if (!unit) return tl::unexpected(unit.error());
    if (are_inside(**unit, fitted.parts)) continue;
    fit(**unit, fitted.parts);
    outcome.happenings.emplace_back(fitted);
  }
  for (const ResultEntered& entered : event.results) {
    const auto unit = unit_of(entered.serial);
    if (!unit) return tl::unexpected(unit.error());
    if (entered.result.measured_us > at.now.wall_us + most_ahead_us)
      return fail(Category::bad_input,
                  fmt::format("{} of {} was measured more than an hour later than now",
                              word(entered.result.test), entered.serial));
    if (is_known(**unit, entered.result)) continue;
    (*unit)->results.push_back({entered.result, false});
    outcome.happenings.emplace_back(entered);
  }
  return outcome;
}

}  // namespace lastlook::flows
