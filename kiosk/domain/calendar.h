// SPDX-License-Identifier: Apache-2.0
// Which production date and shift a moment belongs to. Pure.
#pragma once

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

}  // namespace lastlook::domain
