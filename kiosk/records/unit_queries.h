// SPDX-License-Identifier: Apache-2.0
// What a flow asks of the records about units, concessions and looks that are not closed.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "analytics/result.h"
#include "kiosk/domain/unit_record.h"
#include "kiosk/records/view.h"

namespace lastlook::records {

// Everything known of a serial; an empty record when it was never seen.
Result<domain::UnitRecord> unit_record(View view, const std::string& serial);

// One look, open or closed, under a serial or a ticket: what a correction or a link names.
Result<std::optional<domain::PastLook>> past_look(View view, const std::string& look);

// Granted and not expired at `now_us`, with how often each was used.
Result<std::vector<domain::Concession>> concessions(View view, std::int64_t now_us);

// The entries of every look that is not closed (open or parked), in journal order: what a station
// folds to open where it was. Also the newest sign-in or sign-out, the newest master adopted, the
// one under which each of those looks was opened, the newest approval of a model, and what tells
// which proofs hold.
Result<std::vector<Entry>> unfinished_entries(Records& records);

// Random ids: "k-" and 20 base-32 digits for a look; a ticket is short enough to write by hand,
// "H-4K7Q", and not used before.
std::string new_look_id();
Result<std::string> new_ticket(Records& records);
// From 0 to below 1, by the system's generator.
double random_number();

}  // namespace lastlook::records
