// SPDX-License-Identifier: Apache-2.0
// Whether what is stored is what was written, and making the rows again from the journal.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <iosfwd>
#include <string>
#include <vector>

#include "analytics/result.h"
#include "kiosk/records/records.h"

namespace lastlook::records {

struct Fault {
  std::string journal;
  std::int64_t seq = 0;  // the entry; 0: it is not an entry that is wrong
  std::string what;
};

// A picture, or a model, that an entry names by its hash and that is not in the folder. No fault of
// the journal: not all pictures go to a plant's store, so entries taken back from there may come
// without theirs.
struct MissingPicture {
  std::string journal;
  std::int64_t seq = 0;  // the first entry that names it
  std::string picture;
};

struct Verdict {
  std::int64_t entries = 0;   // read, over all journals of the folder
  std::string head;           // hash of the last entry of the journal being written, hex
  std::vector<Fault> faults;  // in the order of the journals, at most max_faults of them
  std::vector<MissingPicture> missing_pictures = {};  // all, in the order of the journals
  std::int64_t older_form = 0;  // of rows that are not compared, for they are made again when the
                                // station is opened; 0: they are of this program's form
  bool whole() const { return faults.empty(); }
};
inline constexpr std::size_t max_faults = 20;

using Progress = std::function<void(std::int64_t done, std::int64_t all)>;

// Reads all of a station's folder as of one instant, beside a writer if there is one: every hash,
// every link, no gap, no lost end, every body decodes, every picture that an entry names and that
// is there has its hash, the rows are those that the journal makes (where they are of this
// program's form), and the database finds its file in order. Writes nothing. An error only where
// there is no station, or it cannot be read at all because it was written by a later version or the
// disk fails.
Result<Verdict> verify(const std::filesystem::path& folder, const Progress& progress = {});

// The same of the pictures alone, without reading those that are there.
Result<std::vector<MissingPicture>> missing_pictures(JournalStore& store,
                                                     const std::filesystem::path& folder);

// Makes all projections again from the journal, in one transaction. damaged: an entry does not
// decode, or the journal ends before the entry that was written last.
Status rebuild(Records& records, const Progress& progress = {});

// Every projected row, tables and keys in order, one line each.
Status dump(Store& store, std::ostream& out);

// The journals in a store, each after the one it follows.
Result<std::vector<std::string>> journals_in_order(JournalStore& store);

}  // namespace lastlook::records
