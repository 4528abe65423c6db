// SPDX-License-Identifier: Apache-2.0
// A server's rows while a transaction is open: each is read once and written once, with all others
// of its table. What costs at a server is the way there and back.
#pragma once

#include <map>
#include <optional>
#include <set>
#include <string_view>

#include "kiosk/records/postgres_store.h"

namespace lastlook::records {

class RowsInHand : public Store {
 public:
  // So many changes are held, and then written, before the transaction ends.
  explicit RowsInHand(PostgresStore& server, std::size_t most_changes = 50'000)
      : server_(server), most_changes_(most_changes) {}

  Status begin() override;
  // refused too: the server cannot hold a row that was put at some time before.
  Status commit() override;
  void rollback() override;

  Result<std::optional<Row>> find(const Table& table, const Row& key) override;
  Status put(const Table& table, const Row& row) override;
  Status erase(const Table& table, const Row& key) override;
  Status clear(const Table& table) override;
  Status rows(const Table& table, const Row& prefix,
              const std::function<bool(const Row&)>& each) override;
  Status query(std::string_view name, const Row& parameters,
               const std::function<void(const Row&)>& each) override;

 private:
  struct Held {
    std::optional<Row> row;  // none: there is none, or none any more
    bool changed = false;
  };
  struct Sheet {
    const Table* table = nullptr;
    std::map<Row, Held> rows;  // by key
    std::set<Row> read;        // all that begins with one of these is held
  };

  Sheet& sheet_of(const Table& table);
  Status read(Sheet& sheet, const Row& prefix);
  Status change(const Table& table, const Row& key, std::optional<Row> row);
  Status write();
  void forget(bool open);

  PostgresStore& server_;
  const std::size_t most_changes_;
  bool open_ = false;
  std::map<std::string_view, Sheet> sheets_;
  std::size_t changes_ = 0;
};

}  // namespace lastlook::records
