// SPDX-License-Identifier: Apache-2.0
// Where the journals of all stations come together. What a store takes, it has for good: only what
// follows its head is added, what it has already is compared, and a station that tells another
// story than before is refused.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "analytics/result.h"
#include "kiosk/records/entry.h"
#include "kiosk/sync/picture_store.h"

namespace lastlook::sync {

// The last entry of a journal; seq 0: none.
struct Head {
  std::int64_t seq = 0;
  records::Hash hash{};
  bool operator==(const Head&) const = default;
};

// A journal as a store knows it.
struct KnownJournal {
  std::string journal, station;
  Head head;
  std::string after_journal;  // the one that it follows after a restore; empty: none
  std::int64_t after_seq = 0;
};

// A row of the store's table of results, as text/result_file.h has it in a file; empty: not said.
struct GivenResult {
  std::string serial, variant, test, result, value, measured;
  std::string made, part, lot;
  bool operator==(const GivenResult&) const = default;
};

// Rows for one station, in order, and where to go on after them; empty mark: from the beginning.
struct GivenResults {
  std::vector<GivenResult> rows;
  std::string mark;
};

// Errors of every call: io (not reachable, disk full), busy (locked for too long), damaged (the
// store contradicts itself), newer (made by a later version).
class PlantStore {
 public:
  virtual ~PlantStore() = default;

  // By station, then in the order in which they came.
  virtual Result<std::vector<KnownJournal>> journals() = 0;
  virtual Result<Head> head(const std::string& journal) = 0;
  // not_found: it has no such entry.
  virtual Result<records::Hash> hash_at(const std::string& journal, std::int64_t seq) = 0;
  // Entries of one journal, in order and without a gap; not empty. All or none, durable when it
  // returns, and then this is its head. refused: a gap, a hash that is wrong, or a fork, with both
  // fingerprints.
  virtual Result<Head> take(std::span<const records::Entry> entries) = 0;
  // What take() would say to them, without taking them; by a station's own right.
  virtual Status would_take(std::span<const records::Entry> entries);
  // Entries with seq >= from, in order, until `each` returns false.
  virtual Status entries(const std::string& journal, std::int64_t from,
                         const std::function<bool(const records::Entry&)>& each) = 0;

  // What goes down to the station whose login asks. A store that is no server has no table of
  // results: there a tester puts files into the station's own folder `incoming`.
  // bad_input: the mark is none of this store's.
  virtual Result<GivenResults> results_after(const std::string& mark, int at_most);

  // The station whose master data all others adopt, as the store's owner said last; empty: none.
  virtual Result<std::string> office();
  // refused: on a server, no login sends as this station, or whoever asks is not the owner.
  virtual Status make_office(const std::string& station);
  // The entry with which the office adopted its newest revision, as it is stored: whoever uses it
  // checks its hash. nullopt: there is no office, or it has sent none. damaged: it does not fit
  // between the entries beside it, as far as the asker may see them.
  virtual Result<std::optional<records::Entry>> newest_master();

  // Its pictures; nullptr: it takes none (its owner has not brought it to this form yet).
  virtual PictureStore* pictures() { return nullptr; }
};

// An address: "sqlite:FILE" (a local disk or a stick), "folder:FOLDER" (a network share) or
// "postgresql://…". bad_input: none of them.
Status check_address(const std::string& address);

// make: a SQLite file that is not there is made; a PostgreSQL store is made by make_postgres().
Result<std::unique_ptr<PlantStore>> open_plant_store(const std::string& address, bool make);

// The first twelve digits of a hash: enough for two people to compare over the telephone.
std::string fingerprint(const records::Hash& hash);

}  // namespace lastlook::sync
