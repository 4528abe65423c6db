// SPDX-License-Identifier: Apache-2.0
// Which production date and shift a moment belongs to. Pure.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "kiosk/domain/clock.h"
#include "kiosk/domain/master.h"

namespace lastlook::domain {

struct ShiftOfDay {
  std::string production_date;  // "2026-11-25"
  std::string shift;            // the shift's id; empty when the plant has none
  int quarter = 0;              // quarter of an hour since local midnight, 0 to 95
  bool operator==(const ShiftOfDay&) const = default;
};

// An overnight shift keeps the date on which its production day began.
ShiftOfDay shift_of(const Master& master, const Reading& reading);

// Whether this is a day of the calendar, "2026-11-25".
bool is_date(std::string_view text);

// When that day ends where clocks are `offset_min` ahead of UTC; nullopt: it is no day.
std::optional<std::int64_t> end_of_day(const std::string& date, int offset_min);

// The day so many days after that of a moment.
std::string day_after(std::int64_t us, int offset_min, int days);

}  // namespace lastlook::domain
