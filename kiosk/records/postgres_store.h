// SPDX-License-Identifier: Apache-2.0
// A plant's rows in PostgreSQL, in the schema lastlook_rows, made from tables.h; the entries that
// they are made of are in lastlook_plant beside it. Whoever owns the plant's store owns the rows
// and alone writes them.
#pragma once

#include <map>
#include <memory>
#include <set>
#include <span>
#include <string>

#include "kiosk/records/sqlite.h"
#include "kiosk/records/store.h"

namespace lastlook::records {

class PostgresStore final : public Store {
 public:
  // create, write: the owner's right, others are refused; tables of another form are dropped and
  // made anew, empty, for a plant's rows can always be made again from its entries. read: all that
  // is asked sees one instant. not_found: nothing was projected here yet; refused: the rows are of
  // another form.
  static Result<std::unique_ptr<PostgresStore>> open(const std::string& address, Access access);
  ~PostgresStore() override;

  Status begin() override;  // waits for whoever else writes rows
  Status commit() override;
  void rollback() override;

  Result<std::optional<Row>> find(const Table& table, const Row& key) override;
  // refused: a text with a zero byte, which PostgreSQL cannot hold.
  static Status check(const Table& table, const Row& row);
  Status put(const Table& table, const Row& row) override;  // checks it
  Status erase(const Table& table, const Row& key) override;
  // The same for many rows, of different keys, by one statement.
  Status put_all(const Table& table, std::span<const Row> rows);
  Status erase_all(const Table& table, std::span<const Row> keys);
  Status clear(const Table& table) override;
  Status rows(const Table& table, const Row& prefix,
              const std::function<bool(const Row&)>& each) override;
  Status query(std::string_view name, const Row& parameters,
               const std::function<void(const Row&)>& each) override;

 private:
  struct Inside;
  explicit PostgresStore(std::unique_ptr<Inside> inside);
  std::unique_ptr<Inside> inside_;
};

// Lets a login, which must exist, read the rows and nothing else. not_found: no such login;
// refused: whoever asks does not own the store.
Status admit_reader(const std::string& address, const std::string& login);

}  // namespace lastlook::records
