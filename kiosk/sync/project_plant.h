// SPDX-License-Identifier: Apache-2.0
// The rows of a plant's store: what the journals of all stations make, by the projector that makes
// a station's. Only the store's owner writes them.
//
// They are in a file of their own beside a SQLite store ("plant.db" has "plant.db.rows"): that has
// a station's tables and log, may be thrown away, and leaves the store one file that fits on a
// stick and that nobody locks for long. In PostgreSQL they are in the schema lastlook_rows. Rows of
// another version's form are thrown away, and made again by the next walk. How far each journal is
// projected is in the rows themselves (station_state), so both move in one transaction: whenever it
// is cut off, it goes on with the next entry, once.
#pragma once

#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "kiosk/records/sqlite.h"
#include "kiosk/records/store.h"
#include "kiosk/records/tables.h"
#include "kiosk/sync/plant_store.h"

namespace lastlook::sync {

// The rows of the store at an address. bad_input: a folder, which holds none (see 'lastlook plant
// gather'). create: they are made where there are none; busy: another program is
// writing them; read: see PostgresStore; not_found: nothing was projected yet.
Result<std::unique_ptr<records::Store>> open_rows(const std::string& address,
                                                  records::Access access);

struct Projected {
  std::int64_t entries = 0;  // now
  // Where an entry cannot be projected its journal waits, with those that go on after it, and the
  // others go on. The rows say so too.
  std::vector<records::StoppedRow> stopped;
};

using Projecting = std::function<void(std::int64_t done, std::int64_t waiting)>;

// Projects what has arrived and is not in the rows, in transactions of at most `batch` entries. A
// journal that follows another after a restore comes after it; what the other has past the entry
// that it is followed at was lost to the station, and stays out. Where such an entry is in the rows
// already, or one that the store does not have, all of them are made again.
Result<Projected> project_new(PlantStore& plant, records::Store& rows,
                              const Projecting& projecting = {}, std::int64_t batch = 1'000);

// Makes all rows again, in one transaction.
Result<Projected> project_all(PlantStore& plant, records::Store& rows,
                              const Projecting& projecting = {});

}  // namespace lastlook::sync
