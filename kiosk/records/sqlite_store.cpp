// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/sqlite_store.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <span>

#include "kiosk/records/replay.h"
#include "kiosk/records/row_sql.h"

namespace lastlook::records {
namespace {

constexpr std::string_view entry_columns =
    "journal, seq, stamp, actor, kind, version, body, previous, hash";

Entry entry_from(const Statement& row) {
  Entry entry;
  entry.journal = row.text(0);
  entry.seq = row.integer(1);
  entry.stamp = row.text(2);
  entry.actor = row.text(3);
  entry.kind = row.text(4);
  entry.version = row.integer(5);
  entry.body = row.text(6);
  entry.previous = hash_from_bytes(row.text(7));
  entry.hash = hash_from_bytes(row.text(8));
  return entry;
}

Row row_from(const Statement& statement) {
  Row row;
  const int columns = statement.columns();
  row.reserve(static_cast<std::size_t>(columns));
  for (int column = 0; column < columns; ++column) row.push_back(statement.value(column));
  return row;
}

void bind_all(Statement& statement, const Row& values) {
  for (std::size_t i = 0; i < values.size(); ++i)
    statement.bind(static_cast<int>(i) + 1, values[i]);
}

// Runs a statement that gives no rows.
Status run(Result<Statement*> statement, const Row& values) {
  if (!statement) return tl::unexpected(statement.error());
  Reset reset(**statement);
  bind_all(**statement, values);
  const auto done = (*statement)->step();
  if (!done) return tl::unexpected(done.error());
  return {};
}

// Steps through the rows until `each` returns false.
template <class Each>
Status read(Statement& statement, Each each) {
  Reset reset(statement);
  while (true) {
    const auto row = statement.step();
    if (!row) return tl::unexpected(row.error());
    if (!*row || !each(statement)) return {};
  }
}

}  // namespace

SqliteStore::SqliteStore(std::unique_ptr<Connection> connection)
    : connection_(std::move(connection)) {}

Result<std::unique_ptr<SqliteStore>> SqliteStore::open_any_form(const std::filesystem::path& file) {
  auto connection = Connection::open(file, Access::read);
  if (!connection) return tl::unexpected(connection.error());
  std::unique_ptr<SqliteStore> store(new SqliteStore(*std::move(connection)));
  const auto form = store->form();
  if (!form) return tl::unexpected(form.error());
  if (*form < std::ssize(sqlite_migrations())) store->older_form_ = *form;
  return store;
}

Result<std::unique_ptr<SqliteStore>> SqliteStore::open(const std::filesystem::path& file,
                                                       Access access) {
  if (access == Access::read) {
    auto store = open_any_form(file);
    if (store && (*store)->older_form_ > 0)
      return fail(Category::refused,
                  fmt::format("{}: still in form {}, and this version reads form {}; open the "
                              "station once so that it is brought up to date",
                              file.string(), (*store)->older_form_, sqlite_migrations().size()));
    return store;
  }
  return open_to_write(file, access, Holds::journals);
}

Result<std::unique_ptr<SqliteStore>> SqliteStore::open_rows(const std::filesystem::path& file,
                                                            Access access) {
  if (access != Access::read) {
    auto lock = FolderLock::take_for(file);
    if (!lock) return tl::unexpected(lock.error());
    auto store = open_to_write(file, access, Holds::rows);
    if (store) (*store)->lock_ = *std::move(lock);
    return store;
  }
  auto connection = Connection::open(file, access);
  if (!connection) return tl::unexpected(connection.error());
  const auto form = (*connection)->integer("PRAGMA user_version");
  if (!form) return tl::unexpected(form.error());
  if (*form != std::ssize(sqlite_migrations())) return rows_of_another_version();
  return std::unique_ptr<SqliteStore>(new SqliteStore(*std::move(connection)));
}

Result<std::unique_ptr<SqliteStore>> SqliteStore::open_to_write(const std::filesystem::path& file,
                                                                Access access, Holds holds) {
  auto connection = Connection::open(file, access);
  if (!connection) return tl::unexpected(connection.error());
  std::unique_ptr<SqliteStore> store(new SqliteStore(*std::move(connection)));
  const Status set = store->connection_->run(
      "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA foreign_keys=ON;"
      "PRAGMA journal_size_limit=67108864");
  if (!set) return tl::unexpected(set.error());
  if (Status done = store->migrate(holds); !done) return tl::unexpected(done.error());
  return store;
}

Result<std::int64_t> SqliteStore::form() const {
  const auto found = connection_->integer("PRAGMA user_version");
  const auto ours = std::ssize(sqlite_migrations());
  if (found && *found > ours)
    return fail(Category::newer,
                fmt::format("{}: written in form {} by a later version of Lastlook, and this one "
                            "knows forms up to {}; install the later version to open it",
                            connection_->file().string(), *found, ours));
  return found;
}

Result<std::int64_t> SqliteStore::form_of(Holds holds) const {
  return holds == Holds::journals ? form() : connection_->integer("PRAGMA user_version");
}

Status SqliteStore::migrate(Holds holds) {
  const auto found = form_of(holds);
  if (!found) return tl::unexpected(found.error());
  if (*found == std::ssize(sqlite_migrations())) return {};
  Status done = begin();
  if (!done) return done;
  done = bring_up_to_date(holds);
  if (done) done = commit();
  if (!done) rollback();
  return done;
}

Status SqliteStore::bring_up_to_date(Holds holds) {
  // Asked once more: another program may have been first.
  const auto found = form_of(holds);
  if (!found) return tl::unexpected(found.error());
  const auto migrations = sqlite_migrations();
  const auto ours = std::ssize(migrations);
  if (*found == ours) return {};
  const bool anew = holds == Holds::rows && *found > 0;
  if (anew)
    if (Status done = drop_all(); !done) return done;
  std::string text;
  for (auto number = anew ? 0 : *found; number < ours; ++number)
    text += fmt::format("\n{}\n", migrations[static_cast<std::size_t>(number)].text);
  text += fmt::format("PRAGMA user_version={}", ours);
  if (Status done = connection_->run(text.c_str()); !done) return done;
  // What the rows mean may be another thing now; a new file has none.
  return *found > 0 && holds == Holds::journals ? make_rows(*this) : Status();
}

Status SqliteStore::drop_all() {
  auto statement = connection_->prepare(
      "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'");
  if (!statement) return tl::unexpected(statement.error());
  std::string text;
  const Status read_all = read(*statement, [&](const Statement& row) {
    text += fmt::format("DROP TABLE \"{}\";", row.text(0));
    return true;
  });
  return read_all ? connection_->run(text.c_str()) : read_all;
}

template <class Text>
Result<Statement*> SqliteStore::cached(std::string_view name, char use, Text text) {
  const auto known = statements_.find({name, use});
  if (known != statements_.end()) return &known->second;
  auto statement = connection_->prepare(text());
  if (!statement) return tl::unexpected(statement.error());
  return &statements_.emplace(std::pair{name, use}, *std::move(statement)).first->second;
}

Status SqliteStore::begin() {
  return run(cached("begin", 't', [] { return "BEGIN IMMEDIATE"; }), {});
}

Status SqliteStore::commit() {
  return run(cached("commit", 't', [] { return "COMMIT"; }), {});
}

void SqliteStore::rollback() {
  // Fails only when there is no transaction any more, which is what is wanted.
  (void)connection_->run("ROLLBACK");
}

Result<std::vector<std::string>> SqliteStore::journals() {
  // From one to the next by the key, and not over all entries.
  auto statement = cached("entry", 'j', [] {
    return "WITH RECURSIVE found (journal) AS ("
           "SELECT min(journal) FROM entry UNION ALL "
           "SELECT (SELECT min(journal) FROM entry WHERE journal > found.journal) "
           "FROM found WHERE journal IS NOT NULL) "
           "SELECT journal FROM found WHERE journal IS NOT NULL";
  });
  std::vector<std::string> all;
  if (!statement) return tl::unexpected(statement.error());
  const Status done = read(**statement, [&](const Statement& row) {
    all.push_back(row.text(0));
    return true;
  });
  if (!done) return tl::unexpected(done.error());
  return all;
}

Status SqliteStore::append(const Entry& entry) {
  auto statement = cached("entry", 'a', [] {
    return fmt::format("INSERT INTO entry ({}) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
                       entry_columns);
  });
  if (!statement) return tl::unexpected(statement.error());
  Statement& insert = **statement;
  Reset reset(insert);
  insert.bind_text(1, entry.journal);
  insert.bind_integer(2, entry.seq);
  insert.bind_text(3, entry.stamp);
  insert.bind_text(4, entry.actor);
  insert.bind_text(5, entry.kind);
  insert.bind_integer(6, entry.version);
  insert.bind_text(7, entry.body);
  insert.bind_bytes(8, entry.previous);
  insert.bind_bytes(9, entry.hash);
  const auto done = insert.step();
  if (!done) return tl::unexpected(done.error());
  return {};
}

Result<std::optional<Entry>> SqliteStore::entry(const std::string& journal, std::int64_t seq) {
  std::optional<Entry> found;
  const Status done = entries(journal, seq, [&](const Entry& entry) {
    if (entry.seq == seq) found = entry;
    return false;
  });
  if (!done) return tl::unexpected(done.error());
  return found;
}

Result<std::optional<Entry>> SqliteStore::last_entry(const std::string& journal) {
  auto statement = cached("entry", 'l', [] {
    return fmt::format("SELECT {} FROM entry WHERE journal = ?1 ORDER BY seq DESC LIMIT 1",
                       entry_columns);
  });
  if (!statement) return tl::unexpected(statement.error());
  (*statement)->bind_text(1, journal);
  std::optional<Entry> found;
  const Status done = read(**statement, [&](const Statement& row) {
    found = entry_from(row);
    return false;
  });
  if (!done) return tl::unexpected(done.error());
  return found;
}

Status SqliteStore::entries(const std::string& journal, std::int64_t from,
                            const std::function<bool(const Entry&)>& each) {
  // Its own statement each time: `each` may read entries itself.
  auto statement = connection_->prepare(fmt::format(
      "SELECT {} FROM entry WHERE journal = ?1 AND seq >= ?2 ORDER BY seq", entry_columns));
  if (!statement) return tl::unexpected(statement.error());
  statement->bind_text(1, journal);
  statement->bind_integer(2, from);
  return read(*statement, [&](const Statement& row) { return each(entry_from(row)); });
}

Result<std::optional<Row>> SqliteStore::find(const Table& table, const Row& key) {
  auto statement = cached(table.name, 'f', [&] { return find_sql(table); });
  if (!statement) return tl::unexpected(statement.error());
  bind_all(**statement, key);
  std::optional<Row> found;
  const Status done = read(**statement, [&](const Statement& row) {
    found = row_from(row);
    return false;
  });
  if (!done) return tl::unexpected(done.error());
  return found;
}

Status SqliteStore::put(const Table& table, const Row& row) {
  return run(cached(table.name, 'p', [&] { return put_sql(table); }), row);
}

Status SqliteStore::erase(const Table& table, const Row& key) {
  return run(cached(table.name, 'e', [&] { return erase_sql(table); }), key);
}

Status SqliteStore::clear(const Table& table) {
  return run(cached(table.name, 'c', [&] { return clear_sql(table); }), {});
}

Status SqliteStore::rows(const Table& table, const Row& prefix,
                         const std::function<bool(const Row&)>& each) {
  // One statement for each length of prefix.
  const auto use = static_cast<char>('0' + prefix.size());
  auto statement = cached(table.name, use, [&] { return rows_sql(table, prefix.size()); });
  if (!statement) return tl::unexpected(statement.error());
  bind_all(**statement, prefix);
  return read(**statement, [&](const Statement& row) { return each(row_from(row)); });
}

Status SqliteStore::query(std::string_view name, const Row& parameters,
                          const std::function<void(const Row&)>& each) {
  const auto known = named_query(name);
  if (!known) return tl::unexpected(known.error());
  auto statement = cached(known->name, 'q', [&] { return known->text; });
  if (!statement) return tl::unexpected(statement.error());
  for (std::size_t i = 0; i < parameters.size(); ++i) {
    const int at = (*statement)->position_of(static_cast<int>(i) + 1);
    if (at > 0) (*statement)->bind(at, parameters[i]);
  }
  return read(**statement, [&](const Statement& row) {
    each(row_from(row));
    return true;
  });
}

Status SqliteStore::quick_check() {
  return check("PRAGMA quick_check(1)");
}

Status SqliteStore::full_check() {
  return check("PRAGMA integrity_check(1)");
}

Status SqliteStore::check(const char* pragma) {
  auto statement = connection_->prepare(pragma);
  if (!statement) return tl::unexpected(statement.error());
  std::string said;
  const Status done = read(*statement, [&](const Statement& row) {
    said = row.text(0);
    return false;
  });
  if (!done) return done;
  if (said == "ok") return {};
  return fail(Category::damaged,
              fmt::format("{}: the file is damaged ({}); restore the newest backup",
                          connection_->file().string(), said));
}

}  // namespace lastlook::records
