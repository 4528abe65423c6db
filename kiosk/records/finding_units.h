// SPDX-License-Identifier: Apache-2.0
// The units behind a bar of a Pareto.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "kiosk/domain/words.h"
#include "kiosk/records/shift_queries.h"

namespace lastlook::records {

// A finding, and the look that saw it first.
struct FindingUnit {
  std::string look, station, serial, ticket;
  std::int64_t number = 0;  // of the look; 0: under a ticket
  std::string variant;
  domain::Disposition disposition = domain::Disposition::hold;
  std::int64_t closed_us = 0;
  std::string component, defect;
  domain::Severity severity = domain::Severity::major;
  bool held_back = false;  // for a blind second look: whoever does it must not know
};
// Of closed looks, second looks apart; as many as defect_counts() adds up, the newest look first.
// Reads the looks of the period themselves, so it is meant for a shift or a few.
Result<std::vector<FindingUnit>> finding_units(View view, const Period& period);

}  // namespace lastlook::records
