// SPDX-License-Identifier: Apache-2.0
// A station's journals, brought to a plant's store.
#pragma once

#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "analytics/result.h"
#include "kiosk/records/store.h"
#include "kiosk/sync/plant_store.h"

namespace lastlook::sync {

struct SentJournal {
  std::string journal;
  std::int64_t sent = 0;  // entries that went now
  Head acknowledged;      // what the store has now
};

struct Sent {
  std::int64_t entries = 0, looks = 0;  // that went now; looks: those that closed
  std::vector<SentJournal> journals;    // in order; the one being written last
};

// Entries that went and entries that wait when it began.
using Sending = std::function<void(std::int64_t sent, std::int64_t waiting)>;

// Sends what the store does not have, in batches, each acknowledged before the next. What was
// acknowledged stays so when a later batch fails. refused: the store has another story than the
// station, or more of it than the station has.
Result<Sent> send(records::JournalStore& station, PlantStore& plant, const Sending& sending = {});

// The same from one store to another: what stations left in a folder or on a stick is gathered.
Result<Sent> send(PlantStore& from, PlantStore& to, const Sending& sending = {});

// What a station has that a store has not, without sending.
struct Waiting {
  std::int64_t entries = 0, looks = 0;
};
Result<Waiting> waiting(records::JournalStore& station, PlantStore& plant);

}  // namespace lastlook::sync
