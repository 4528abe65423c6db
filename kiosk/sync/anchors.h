// SPDX-License-Identifier: Apache-2.0
// A plant's store as the anchor of a station's journals: it took each entry as it was, and no hand
// at the station reaches it. Also what gives a station back the entries that its backup lacks.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "analytics/result.h"
#include "kiosk/records/store.h"
#include "kiosk/sync/plant_store.h"

namespace lastlook::sync {

// The first entry of a journal that is not what the store took.
struct Difference {
  std::int64_t seq = 0;
  std::string station;  // fingerprint of the bytes there; empty: the entry is missing or unreadable
  std::string store;    // fingerprint of what was sent
};

struct Anchored {
  std::string journal;
  std::int64_t station_seq = 0;  // entries there that are sound, from the first without a gap
  std::int64_t store_seq = 0;
  std::int64_t not_sent = 0;
  std::int64_t lost = 0;  // in the store, after the entry at which a restore went on without them
  std::optional<Difference> differs;
  // The store knows nothing of this journal, and why it would not take it: it knows the station by
  // others. Empty: it would, or has it.
  std::string not_taken;
};

// Compares every journal of a station with the store, by what a station's own login may ask. Reads
// all entries of the station and asks the store for some twenty hashes a journal.
Result<std::vector<Anchored>> compare(records::JournalStore& station, PlantStore& plant);

// Adds what the store has after the station's entries, and the journals that followed, with their
// rows, in one transaction; says how many entries. The owner's right. refused: the station has
// other entries than the store, with both fingerprints, or more than the store's next journal
// follows.
Result<std::int64_t> take_back(records::JournalStore& station, PlantStore& plant);

}  // namespace lastlook::sync
