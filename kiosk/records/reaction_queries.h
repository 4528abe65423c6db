// SPDX-License-Identifier: Apache-2.0
// Defects that came too often, calls for help, and what the place of the look was found to be.
#pragma once

#include <optional>
#include <vector>

#include "kiosk/domain/reaction.h"
#include "kiosk/records/shift_queries.h"

namespace lastlook::records {

// The looks of a station closed last, the newest first; second looks are none. from: production
// date.
Result<std::vector<domain::ClosedWithFindings>> last_looks(View view, const std::string& station,
                                                           const std::string& from,
                                                           std::int64_t at_most);

// Raised at or after a wall time, or not settled yet, the newest first; `station` empty: of all.
Result<std::vector<domain::Reaction>> reactions_since(View view, const std::string& station,
                                                      std::int64_t from_us);
Result<std::vector<domain::Reaction>> open_reactions(View view, const std::string& station);

// The one that nobody has answered, called last.
Result<std::optional<domain::HelpCall>> open_help(View view, const std::string& station);
// In the order in which they were called; the period's variant says nothing of them.
Result<std::vector<domain::HelpCall>> help_calls(View view, const Period& period);

// In the order in which they were made.
Result<std::vector<domain::ViewingCheck>> viewing_checks(View view, const Period& period);

}  // namespace lastlook::records
