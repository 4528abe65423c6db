// SPDX-License-Identifier: Apache-2.0
// Claims from the field, each with the look that let its unit pass.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "analytics/result.h"
#include "kiosk/domain/words.h"
#include "kiosk/records/shift_queries.h"

namespace lastlook::records {

struct Claim {
  std::string serial, claim, station;  // where it was entered
  std::string reported;                // a day, "2026-11-25"
  std::string complaint;
  std::int64_t opened_us = 0;
  std::optional<domain::ClaimVerdict> verdict;  // none: not judged yet
  std::string component, defect, why;
  std::int64_t judged_us = 0;
  // The newest look that accepted the unit no later than on the day of the report; empty: there is
  // none in these records.
  std::string look, look_station, variant, production_date, shift;
  std::string answer;      // of that look about the component; empty: it did not ask
  std::string conforming;  // the camera's opinion there; empty: there was none
};

// Those whose unit was let pass in the period; of a period without any restriction, those without
// such a look too. In the order of the reports. One that was entered at several stations is there
// once, as it was judged last.
Result<std::vector<Claim>> claims(View view, const Period& period);

// Units by what their claims came to: an escape where any of them is one.
struct ClaimCounts {
  std::int64_t escaped = 0, not_visible = 0, not_judged = 0;
};
ClaimCounts counted(const std::vector<Claim>& claims);

}  // namespace lastlook::records
