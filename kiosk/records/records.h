// SPDX-License-Identifier: Apache-2.0
// A station's records: one folder, one writer. Every append is one durable transaction of journal
// entries and the rows they change.
//
//   FOLDER/records.db      journal and projections (WAL, synchronous=FULL)
//   FOLDER/people.db       names and PIN hashes: erasable, outside journal and export, mode 0600
//   FOLDER/pictures/ab/…   pictures by hash
//   FOLDER/lock            held while a writer is open
#pragma once

#include <filesystem>
#include <memory>
#include <span>
#include <string>
#include <vector>

#include "analytics/result.h"
#include "kiosk/domain/clock.h"
#include "kiosk/domain/happening.h"
#include "kiosk/records/entry.h"
#include "kiosk/records/store.h"

namespace lastlook::records {

// A large file is read whole after an end that may have hurt it, about a second a gigabyte: before
// anything else, or by the one who opened it, with check_file(), while people work.
enum class Check { first, beside };

class Records {
 public:
  // A new station in a folder without one. refused: there is one already.
  static Result<std::unique_ptr<Records>> create(const std::filesystem::path& folder,
                                                 const std::string& station, domain::Clock& clock);
  // The one writer. not_found: no station there; busy: another program has it open; newer: written
  // by a later version; damaged: what is wrong with the file, or where the journal lost its end.
  static Result<std::unique_ptr<Records>> open(const std::filesystem::path& folder,
                                               Check check = Check::first);
  // Many may; cannot append.
  static Result<std::unique_ptr<Records>> open_to_read(const std::filesystem::path& folder);
  ~Records();

  // Appends as one transaction, durable when it returns: all of it or nothing. `now` is the reading
  // that the flow decided with. A clock that jumped against the forward clock is journalled first.
  // refused: what cannot have happened, such as an answer in a closed look.
  Status append(std::span<const domain::Happening> happenings, const std::string& actor,
                const domain::Reading& now);

  // Opened with Check::beside, and the file is to be checked; until that is done and told here, the
  // next one to open it will find it so too. After an error nothing is appended any more.
  bool is_in_doubt() const;
  void checked(const Status& whole);

  // Groups many appends into one transaction: for the demo's history and for imports, where a crash
  // may lose the whole group but never a part of an append. After an append that failed, the group
  // is lost and end_bulk says why.
  Status begin_bulk();
  Status end_bulk();

  // After a restore: a new journal, whose first entry names the head of the one before it. That one
  // stays in the folder as history.
  Status start_new_journal(const domain::Reading& now);

  const domain::Master& master() const;  // adopted last; revision 0: none yet
  const std::string& station() const;
  const std::string& journal() const;  // the id of the one being written
  const std::filesystem::path& folder() const;
  JournalStore& store();

 private:
  struct Inside;
  explicit Records(std::unique_ptr<Inside> inside);
  std::unique_ptr<Inside> inside_;
};

// Reads the whole file while others write it, on any thread. damaged: what is wrong with it.
Status check_file(const std::filesystem::path& folder);

}  // namespace lastlook::records
