// SPDX-License-Identifier: Apache-2.0
// A plant's store in PostgreSQL. Entries are copied into a table of the session's own, and one
// function of the store, which runs with its owner's rights, checks and takes them: a station has
// no right to any table. Exactly once rests on the journal's head row, locked during a batch.
//
// TLS: postgresql://…?sslmode=verify-full&sslrootcert=FILE; the address is libpq's own. A password
// belongs in ~/.pgpass (mode 0600), never on a command line.
#pragma once

#include <memory>
#include <string>

#include "kiosk/sync/plant_store.h"

namespace lastlook::sync {

class PostgresPlant final : public PlantStore {
 public:
  // Waits at most 10 s for a connection and 30 s for an answer, unless the address says otherwise.
  // io: not reachable, in the server's words; not_found: there is no store; newer.
  static Result<std::unique_ptr<PostgresPlant>> open(const std::string& address);
  ~PostgresPlant() override;

  Result<std::vector<KnownJournal>> journals() override;  // the owner's right
  Result<Head> head(const std::string& journal) override;
  Result<records::Hash> hash_at(const std::string& journal, std::int64_t seq) override;
  Result<Head> take(std::span<const records::Entry> entries) override;
  Status would_take(std::span<const records::Entry> entries) override;
  Status entries(const std::string& journal, std::int64_t from,  // the owner's right
                 const std::function<bool(const records::Entry&)>& each) override;
  Result<GivenResults> results_after(const std::string& mark, int at_most) override;
  Result<std::string> office() override;                           // the owner's right
  Status make_office(const std::string& station) override;         // the owner's right
  Result<std::optional<records::Entry>> newest_master() override;  // a station's right
  PictureStore* pictures() override;

 private:
  struct Inside;
  explicit PostgresPlant(std::unique_ptr<Inside> inside);
  std::unique_ptr<Inside> inside_;
};

}  // namespace lastlook::sync
