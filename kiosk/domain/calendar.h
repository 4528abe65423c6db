// SPDX-License-Identifier: Apache-2.0
// Which production date and shift a moment belongs to. Pure.
#pragma once

#include <string>

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

}  // namespace lastlook::domain
