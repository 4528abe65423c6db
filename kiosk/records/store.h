// SPDX-License-Identifier: Apache-2.0
// What a database must do for the records: SQLite for a station, SQLite or PostgreSQL for a plant.
// Tables are described once, in tables.h; the projector reads and writes rows through here only.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "analytics/result.h"
#include "kiosk/records/entry.h"

namespace lastlook::records {

using Value = std::variant<std::monostate, std::int64_t, double, std::string>;
using Row = std::vector<Value>;

enum class ColumnType {
  text,
  text_or_none,
  whole,   // 64 bits
  number,  // a double; one that is not a number is stored as none
};

struct Table {
  std::string_view name;
  std::vector<std::string_view> columns;  // the key first
  std::size_t key_columns = 1;
  std::vector<ColumnType> types;  // of the columns
};

// Rows that can be asked and written. Errors of every call: damaged (the file contradicts itself),
// busy (locked for too long), io (disk full, read-only, gone).
class Store {
 public:
  virtual ~Store() = default;

  virtual Status begin() = 0;   // takes the write lock at once
  virtual Status commit() = 0;  // durable when it returns
  virtual void rollback() = 0;

  virtual Result<std::optional<Row>> find(const Table& table, const Row& key) = 0;
  virtual Status put(const Table& table, const Row& row) = 0;  // inserts or replaces by key
  virtual Status erase(const Table& table, const Row& key) = 0;
  virtual Status clear(const Table& table) = 0;
  // Rows whose key begins with `prefix` (empty: all), in key order, until `each` returns false.
  virtual Status rows(const Table& table, const Row& prefix,
                      const std::function<bool(const Row&)>& each) = 0;

  // A named query of records/sql; parameters stand for $1, $2, …
  virtual Status query(std::string_view name, const Row& parameters,
                       const std::function<void(const Row&)>& each) = 0;
};

// A station's: its journals beside their rows.
class JournalStore : public Store {
 public:
  // A file holds the journal being written and, after a restore, those it follows.
  virtual Result<std::vector<std::string>> journals() = 0;  // in no order
  virtual Status append(const Entry& entry) = 0;
  virtual Result<std::optional<Entry>> entry(const std::string& journal, std::int64_t seq) = 0;
  virtual Result<std::optional<Entry>> last_entry(const std::string& journal) = 0;
  // Entries with seq >= from, in order, until `each` returns false.
  virtual Status entries(const std::string& journal, std::int64_t from,
                         const std::function<bool(const Entry&)>& each) = 0;
};

}  // namespace lastlook::records
