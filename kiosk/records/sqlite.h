// SPDX-License-Identifier: Apache-2.0
// One SQLite connection and its statements, as values. For the records and for a plant's store.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <map>
#include <memory>
#include <span>
#include <string>
#include <string_view>

#include "analytics/result.h"
#include "kiosk/records/store.h"

struct sqlite3;
struct sqlite3_stmt;

namespace lastlook::records {

class Statement {
 public:
  Statement() = default;

  // Parameters count from 1. Text and bytes must outlive the next step().
  void bind(int at, const Value& value);
  void bind_text(int at, std::string_view text);
  void bind_integer(int at, std::int64_t value);
  void bind_bytes(int at, std::span<const unsigned char> bytes);
  // The parameter called $N, or 0 when the text does not use it.
  int position_of(int n) const;

  Result<bool> step();  // true: a row is there
  void reset();         // ends reading; called before the next use

  int columns() const;
  Value value(int column) const;
  std::string text(int column) const;  // bytes as stored
  std::int64_t integer(int column) const;

 private:
  friend class Connection;
  struct Finalize {
    void operator()(sqlite3_stmt* statement) const;
  };
  std::unique_ptr<sqlite3_stmt, Finalize> raw_;
};

// Resets a statement when a scope ends, so that no read transaction stays open.
class Reset {
 public:
  explicit Reset(Statement& statement) : statement_(statement) {}
  ~Reset() { statement_.reset(); }
  Reset(const Reset&) = delete;
  Reset& operator=(const Reset&) = delete;

 private:
  Statement& statement_;
};

enum class Access {
  create,  // the one writer, makes the file
  write,   // the one writer
  read,    // query_only, never checkpoints
};

class Connection {
 public:
  // not_found: no such file.
  static Result<std::unique_ptr<Connection>> open(const std::filesystem::path& file, Access access);
  ~Connection();

  Status run(const char* sql);  // one or many statements, no rows
  Result<Statement> prepare(std::string_view sql);
  Result<std::int64_t> integer(const char* sql);  // the first value of the first row
  // Copies this database, as of now, into a new file, a few pages at a time while others write.
  Status copy_to(const std::filesystem::path& file);

  const std::filesystem::path& file() const { return file_; }

 private:
  Connection() = default;
  std::filesystem::path file_;
  sqlite3* raw_ = nullptr;
};

}  // namespace lastlook::records
