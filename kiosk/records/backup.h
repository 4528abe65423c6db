// SPDX-License-Identifier: Apache-2.0
// A second copy of a station, and going on from it.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <string>
#include <vector>

#include "analytics/result.h"
#include "kiosk/domain/clock.h"
#include "kiosk/records/audit.h"

namespace lastlook::records {

struct Copied {
  std::int64_t entries = 0;
  std::string head;  // hash of the last entry, hex
  std::int64_t pictures = 0;
  std::string journal;          // of the last entry; after a restore the one that follows it
  std::int64_t taken_back = 0;  // entries after the backup that came from elsewhere
  std::vector<MissingPicture> missing_pictures;  // of a restore: that no backup had
};

// Copies a station's folder, as of one instant and while it is in use, into a new folder `target`:
// journal and rows, people, pictures. The folder appears when all of it is on disk. refused: target
// is there already (a backup never overwrites another); damaged: what the database finds wrong with
// its file, so that no bad copy takes the place of a good one.
Result<Copied> backup(const std::filesystem::path& folder, const std::filesystem::path& target);

// The same into ROOT/TIME, and then takes the oldest backups of this station in ROOT away until
// `keep` are left (at least 1; the new one counts). A backup that failed takes nothing away, nor
// does one in which verify() finds a fault (damaged; it stays there, beside those before it). Only
// folders named by a time that hold this station's records, of whatever form, are looked at;
// damaged: one of which it cannot be told whose it is.
struct Rotated {
  Copied copied;
  std::filesystem::path made;
  std::vector<std::filesystem::path> taken_away;
};
Result<Rotated> backup_and_rotate(const std::filesystem::path& folder,
                                  const std::filesystem::path& root, int keep,
                                  domain::Clock& clock);

// The backups in ROOT that are named by a time and hold this station's records, oldest first. io.
Result<std::vector<std::filesystem::path>> backups_in(const std::filesystem::path& root,
                                                      const std::string& station);

// Adds entries to a station that is being restored, with their rows, from wherever else they are;
// says how many.
using Refill = std::function<Result<std::int64_t>(JournalStore&)>;

// Makes a station in `folder`, missing or empty, from a backup, of an older form too, in whose copy
// verify() finds no fault. Pictures that are missing in it stay so, and are named. The old journal
// stays as history; a new one begins, whose first entry names the old one's head, so that nothing
// is ever written twice under one number. refused: folder is not empty; damaged: the first fault of
// the backup.
Result<Copied> restore(const std::filesystem::path& backup, const std::filesystem::path& folder,
                       domain::Clock& clock, const Progress& progress = {},
                       const Refill& refill = {});

}  // namespace lastlook::records
