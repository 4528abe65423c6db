// SPDX-License-Identifier: Apache-2.0
// The records in one SQLite file (WAL, synchronous=FULL). Of all connections to a file exactly one
// writes, and it alone checkpoints: SQLite 3.40 has a rare fault when two do so at one instant.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <map>
#include <memory>
#include <string>
#include <string_view>
#include <utility>

#include "kiosk/records/folder_lock.h"
#include "kiosk/records/sqlite.h"
#include "kiosk/records/store.h"

namespace lastlook::records {

class SqliteStore final : public JournalStore {
 public:
  // The writer: makes the file if access is create, and brings its form up to date; the rows of an
  // older form are made again from its journals.
  // newer: written by a later program.
  static Result<std::unique_ptr<SqliteStore>> open(const std::filesystem::path& file,
                                                   Access access);
  // Rows alone, of journals that are kept elsewhere: those of another form are thrown away by their
  // writer, for they can always be made again; busy: there is another writer. read: refused where
  // they are of another form.
  static Result<std::unique_ptr<SqliteStore>> open_rows(const std::filesystem::path& file,
                                                        Access access);
  // To read the entries, and to check or copy the file, whatever form up to this program's its rows
  // are in: a backup stays as it was made.
  static Result<std::unique_ptr<SqliteStore>> open_any_form(const std::filesystem::path& file);

  Status begin() override;
  Status commit() override;
  void rollback() override;

  Result<std::vector<std::string>> journals() override;
  Status append(const Entry& entry) override;
  Result<std::optional<Entry>> entry(const std::string& journal, std::int64_t seq) override;
  Result<std::optional<Entry>> last_entry(const std::string& journal) override;
  Status entries(const std::string& journal, std::int64_t from,
                 const std::function<bool(const Entry&)>& each) override;

  Result<std::optional<Row>> find(const Table& table, const Row& key) override;
  Status put(const Table& table, const Row& row) override;
  Status erase(const Table& table, const Row& key) override;
  Status clear(const Table& table) override;
  Status rows(const Table& table, const Row& prefix,
              const std::function<bool(const Row&)>& each) override;
  Status query(std::string_view name, const Row& parameters,
               const std::function<void(const Row&)>& each) override;

  // damaged: what the database itself finds wrong with the file, in its words.
  Status quick_check();  // about a second a gigabyte
  Status full_check();   // indexes against tables too, about twenty
  Connection& connection() { return *connection_; }
  // Of the rows, when it was opened; 0: of this program.
  std::int64_t older_form() const { return older_form_; }

 private:
  explicit SqliteStore(std::unique_ptr<Connection> connection);
  // The statement of this name, prepared once; `text` makes its SQL.
  template <class Text>
  Result<Statement*> cached(std::string_view name, char use, Text text);
  Result<std::int64_t> form() const;  // newer
  enum class Holds { journals, rows };
  static Result<std::unique_ptr<SqliteStore>> open_to_write(const std::filesystem::path& file,
                                                            Access access, Holds holds);
  Status migrate(Holds holds);
  Result<std::int64_t> form_of(Holds holds) const;
  Status bring_up_to_date(Holds holds);  // within a transaction
  Status drop_all();
  Status check(const char* pragma);

  std::unique_ptr<FolderLock> lock_;  // of rows; before the connection: given back after it
  std::unique_ptr<Connection> connection_;
  std::int64_t older_form_ = 0;
  std::map<std::pair<std::string_view, char>, Statement> statements_;
};

}  // namespace lastlook::records
