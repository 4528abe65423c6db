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

// Wall time up to which a person may sign in at this station in spite of the bar; 0: that was never
// allowed.
Result<std::int64_t> allowed_until(Records& records, const std::string& person, domain::Bar bar);

// A unit that has, or had, a part of a lot inside.
struct UnitWithLot {
  std::string serial, part;
  std::int64_t fitted_us = 0;    // when the first record of it came
  std::int64_t replaced_us = 0;  // when one of another part in its place came; 0: it is in there
  std::string station;           // whose clock the times are of
};
// By serial and type of part. `part` empty: of any type.
Result<std::vector<UnitWithLot>> units_with_lot(View view, const std::string& lot,
                                                const std::string& part);

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
