// SPDX-License-Identifier: Apache-2.0
// What comes down the line of the invented plant: units, some with faults, seeded. Every rate here
// is invented.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "kiosk/commands/demo_chance.h"
#include "kiosk/domain/words.h"

namespace lastlook::commands {

// What is truly wrong with a unit, whether or not anybody sees it.
struct Fault {
  std::string component;
  std::string defect;  // of the plant's catalogue
  bool operator==(const Fault&) const = default;
};

struct LineUnit {
  std::string serial;
  std::string code;  // of its tag; empty: there is none, or none that reads
  std::string variant;
  std::vector<Fault> faults;
  bool build_record = true;                         // false: its variant is told from the body
  std::optional<domain::UpstreamTest> late_result;  // not there yet when the unit arrives

  const Fault* fault_at(const std::string& component) const;
};

// Where in the four weeks a unit is built.
struct Moment {
  int day = 0;    // working day, from 0
  int days = 20;  // working days in all
  bool late_shift = false;
  int year = 2026, day_of_year = 1;
};

// Two working days, counted from 0, on which a supplier's bad batch of seals is built in.
inline constexpr int bad_seals_first_day = 11;
inline constexpr int bad_seals_last_day = 12;

class Line {
 public:
  // Serials count up from `first_number`, so that two stations never share one.
  Line(std::uint64_t seed, int first_number) : chance_(seed), number_(first_number) {}

  LineUnit next(const Moment& moment);

 private:
  std::vector<Fault> faults(const std::string& variant, const Moment& moment);

  Chance chance_;
  int number_;
};

// The tag's prefix for a variant: "CP210" for "CP-210".
std::string tag_type_of(const std::string& variant);

}  // namespace lastlook::commands
