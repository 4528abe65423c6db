// SPDX-License-Identifier: Apache-2.0
// Blind second looks as the screens and the statistics ask for them. None of them is in a count of
// production.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "analytics/result.h"
#include "kiosk/records/shift_queries.h"
#include "kiosk/records/view.h"

namespace lastlook::records {

// Units that are held back now and whose second look nobody has opened yet.
Result<std::int64_t> second_looks_waiting(View view);

struct SecondLookDone {
  std::string serial, production_date, shift, station, variant;  // of the first look's close
  double rate = 0.0;                                             // with which it was drawn
  std::string first, second;                                     // dispositions
  std::string first_by, second_by;                               // pseudonymous ids
};
// Of first looks closed in the period, oldest first.
Result<std::vector<SecondLookDone>> second_looks_done(View view, const Period& period);

// Of the same first looks, by what they came to: how many were drawn, and of these looked at again.
struct SecondLooksDrawn {
  std::string first;  // disposition
  std::int64_t drawn = 0, done = 0;
};
Result<std::vector<SecondLooksDrawn>> second_looks_drawn(View view, const Period& period);

}  // namespace lastlook::records
