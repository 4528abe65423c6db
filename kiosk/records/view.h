// SPDX-License-Identifier: Apache-2.0
// Rows that can be asked: a station's, or a plant's with those of all its stations.
#pragma once

#include <string>
#include <vector>

#include "analytics/result.h"
#include "kiosk/domain/master.h"
#include "kiosk/records/records.h"
#include "kiosk/records/store.h"

namespace lastlook::records {

// Does not own what it looks at.
struct View {
  View(Store& rows, const domain::Master& words) : store(rows), master(words) {}
  View(Records& station) : store(station.store()), master(station.master()) {}
  Store& store;
  const domain::Master& master;  // names and the order of shifts
};

// How far a station's journal is in the rows: what an answer is "as of".
struct AsOf {
  std::string station, journal;
  std::int64_t seq = 0;
  std::int64_t wall_us = 0;  // of the entry `seq`, by the station's clock
  int offset_min = 0;
};
// The newest journal of each station, by station; `station` empty: of all.
Result<std::vector<AsOf>> as_of(Store& store, const std::string& station);

// The master data adopted last, of all stations that with the highest revision; revision 0: none.
Result<domain::Master> newest_master(Store& store);

}  // namespace lastlook::records
