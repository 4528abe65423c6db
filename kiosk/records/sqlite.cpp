// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/sqlite.h"

#include <fmt/format.h>
#include <sqlite3.h>

#include <memory>

namespace lastlook::records {
namespace {

constexpr int busy_ms = 5'000;

std::string name_of(sqlite3* raw) {
  const char* name = sqlite3_db_filename(raw, "main");
  return name && *name ? name : "a database in memory";
}

// What happened last on this connection, in words.
Error error_of(sqlite3* raw) {
  const std::string file = name_of(raw);
  const char* said = sqlite3_errmsg(raw);
  switch (sqlite3_errcode(raw) & 0xff) {
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      return {Category::busy, fmt::format("{}: another program keeps it locked", file)};
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB:
      return {Category::damaged, fmt::format("{}: the file is damaged ({})", file, said)};
    case SQLITE_FULL:
      return {Category::io, fmt::format("{}: the disk is full; nothing was written", file)};
    case SQLITE_READONLY:
      return {Category::io, fmt::format("{}: cannot be written ({})", file, said)};
    case SQLITE_CONSTRAINT:
      return {Category::refused, fmt::format("{}: {}", file, said)};
    default:
      return {Category::io, fmt::format("{}: {}", file, said)};
  }
}

}  // namespace

void Statement::Finalize::operator()(sqlite3_stmt* statement) const {
  sqlite3_finalize(statement);
}

void Statement::bind_text(int at, std::string_view text) {
  sqlite3_bind_text64(raw_.get(), at, text.data() ? text.data() : "", text.size(), SQLITE_STATIC,
                      SQLITE_UTF8);
}

void Statement::bind_integer(int at, std::int64_t value) {
  sqlite3_bind_int64(raw_.get(), at, value);
}

void Statement::bind_bytes(int at, std::span<const unsigned char> bytes) {
  sqlite3_bind_blob64(raw_.get(), at, bytes.data(), bytes.size(), SQLITE_STATIC);
}

void Statement::bind(int at, const Value& value) {
  if (const auto* text = std::get_if<std::string>(&value)) {
    bind_text(at, *text);
  } else if (const auto* whole = std::get_if<std::int64_t>(&value)) {
    bind_integer(at, *whole);
  } else if (const auto* number = std::get_if<double>(&value)) {
    sqlite3_bind_double(raw_.get(), at, *number);
  } else {
    sqlite3_bind_null(raw_.get(), at);
  }
}

int Statement::position_of(int n) const {
  return sqlite3_bind_parameter_index(raw_.get(), fmt::format("${}", n).c_str());
}

Result<bool> Statement::step() {
  const int code = sqlite3_step(raw_.get());
  if (code == SQLITE_ROW) return true;
  if (code == SQLITE_DONE) return false;
  const Error error = error_of(sqlite3_db_handle(raw_.get()));
  reset();
  return tl::unexpected(error);
}

void Statement::reset() {
  sqlite3_reset(raw_.get());
}

int Statement::columns() const {
  return sqlite3_column_count(raw_.get());
}

std::string Statement::text(int column) const {
  // sqlite3_column_blob() and not _text(): the bytes as stored, without any conversion.
  const void* bytes = sqlite3_column_blob(raw_.get(), column);
  const int size = sqlite3_column_bytes(raw_.get(), column);
  return bytes ? std::string(static_cast<const char*>(bytes), static_cast<std::size_t>(size))
               : std::string();
}

std::int64_t Statement::integer(int column) const {
  return sqlite3_column_int64(raw_.get(), column);
}

Value Statement::value(int column) const {
  switch (sqlite3_column_type(raw_.get(), column)) {
    case SQLITE_INTEGER:
      return integer(column);
    case SQLITE_FLOAT:
      return sqlite3_column_double(raw_.get(), column);
    case SQLITE_NULL:
      return {};
    default:
      return text(column);
  }
}

Result<std::unique_ptr<Connection>> Connection::open(const std::filesystem::path& file,
                                                     Access access) {
  auto connection = std::unique_ptr<Connection>(new Connection);
  connection->file_ = file;
  std::error_code ignored;
  if (access != Access::create && !std::filesystem::exists(file, ignored))
    return fail(Category::not_found, fmt::format("{}: no such file", file.string()));
  const int flags = SQLITE_OPEN_READWRITE | (access == Access::create ? SQLITE_OPEN_CREATE : 0);
  if (sqlite3_open_v2(file.c_str(), &connection->raw_, flags, nullptr) != SQLITE_OK) {
    if (!connection->raw_) return fail(Category::io, file.string() + ": out of memory");
    return tl::unexpected(error_of(connection->raw_));
  }
  sqlite3_busy_timeout(connection->raw_, busy_ms);
  if (access == Access::read) {
    sqlite3_db_config(connection->raw_, SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, 1, nullptr);
    if (Status done = connection->run("PRAGMA query_only=ON; PRAGMA wal_autocheckpoint=0"); !done)
      return tl::unexpected(done.error());
  }
  return connection;
}

Connection::~Connection() {
  sqlite3_close(raw_);
}

Status Connection::run(const char* sql) {
  if (sqlite3_exec(raw_, sql, nullptr, nullptr, nullptr) == SQLITE_OK) return {};
  return tl::unexpected(error_of(raw_));
}

Result<Statement> Connection::prepare(std::string_view sql) {
  sqlite3_stmt* raw = nullptr;
  if (sqlite3_prepare_v3(raw_, sql.data(), static_cast<int>(sql.size()), SQLITE_PREPARE_PERSISTENT,
                         &raw, nullptr) != SQLITE_OK)
    return tl::unexpected(error_of(raw_));
  Statement statement;
  statement.raw_.reset(raw);
  return statement;
}

Result<std::int64_t> Connection::integer(const char* sql) {
  auto statement = prepare(sql);
  if (!statement) return tl::unexpected(statement.error());
  const auto row = statement->step();
  if (!row) return tl::unexpected(row.error());
  return *row ? statement->integer(0) : 0;
}

Status Connection::copy_to(const std::filesystem::path& file) {
  auto target = open(file, Access::create);
  if (!target) return tl::unexpected(target.error());
  sqlite3* to = (*target)->raw_;
  sqlite3_backup* copying = sqlite3_backup_init(to, "main", raw_, "main");
  if (!copying) return tl::unexpected(error_of(to));
  constexpr int pages = 1'024;
  int code = SQLITE_OK;
  while (code == SQLITE_OK || code == SQLITE_BUSY || code == SQLITE_LOCKED) {
    code = sqlite3_backup_step(copying, pages);
    if (code == SQLITE_BUSY || code == SQLITE_LOCKED) sqlite3_sleep(10);
  }
  sqlite3_backup_finish(copying);
  if (code != SQLITE_DONE) return tl::unexpected(error_of(to));
  return {};
}

}  // namespace lastlook::records
