// SPDX-License-Identifier: Apache-2.0
// What is known of defects that came too often, of calls for help, and of the place of the look.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace lastlook::domain {

// A look that was closed, with what was found in it and not withdrawn.
struct ClosedWithFindings {
  std::string look;
  std::int64_t closed_us = 0;
  struct Found {
    std::string component, defect;
    bool operator==(const Found&) const = default;
  };
  std::vector<Found> found;
  bool operator==(const ClosedWithFindings&) const = default;
};

struct Reaction {
  std::string reaction, station, plan, defect, component;
  std::int64_t times = 0, in_units = 0;
  std::int64_t raised_us = 0;
  std::int64_t settled_us = 0;  // 0: not yet
  std::string why;              // what was found and done
  bool is_open() const { return settled_us == 0; }
  bool operator==(const Reaction&) const = default;
};

struct HelpCall {
  std::string help, station, look;
  std::int64_t called_us = 0;
  std::int64_t came_us = 0;  // 0: nobody yet
  bool operator==(const HelpCall&) const = default;
};

struct ViewingCheck {
  std::string station;
  bool lamp = false;
  std::int64_t lux = 0;
  bool distance = false;
  std::string allowed_by;  // empty: nothing stood against it
  std::int64_t checked_us = 0;
  bool operator==(const ViewingCheck&) const = default;
};

}  // namespace lastlook::domain
