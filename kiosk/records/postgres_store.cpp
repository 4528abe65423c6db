// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/postgres_store.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "kiosk/records/postgres.h"
#include "kiosk/records/postgres_tables.h"
#include "kiosk/records/replay.h"
#include "kiosk/records/row_sql.h"

namespace lastlook::records {
namespace {

// A value as it is sent; nullopt: none.
std::optional<std::string> text_of(const Value& value) {
  const auto* number = std::get_if<double>(&value);
  if (std::holds_alternative<std::monostate>(value) || (number && std::isnan(*number)))
    return std::nullopt;
  if (number) return fmt::format("{}", *number);  // the shortest that reads back as the same
  if (const auto* whole = std::get_if<std::int64_t>(&value)) return std::to_string(*whole);
  return std::get<std::string>(value);
}

// A row's values as they are sent; none is a null pointer.
class Parameters {
 public:
  explicit Parameters(const Row& values) {
    texts_.reserve(values.size());  // what is pointed at stays where it is
    for (const Value& value : values) add(value);
  }
  const std::vector<const char*>& all() const { return pointers_; }

 private:
  void add(const Value& value) {
    auto text = text_of(value);
    if (!text) return pointers_.push_back(nullptr);
    texts_.push_back(*std::move(text));
    pointers_.push_back(texts_.back().c_str());
  }

  std::vector<std::string> texts_;
  std::vector<const char*> pointers_;
};

bool has_zero_byte(const Value& value) {
  const auto* text = std::get_if<std::string>(&value);
  return text && text->find('\0') < text->size();
}

// One column of many rows, as an array is written.
std::string array_of(std::span<const Row> rows, std::size_t column) {
  std::string array = "{";
  for (const Row& row : rows) {
    if (array.size() > 1) array += ',';
    const auto text = text_of(row[column]);
    if (!text) {
      array += "NULL";
      continue;
    }
    array += '"';
    for (const char c : *text) {
      if (c == '"' || c == '\\') array += '\\';
      array += c;
    }
    array += '"';
  }
  return array + "}";
}

// The first `columns` columns of many rows, each an array.
Row arrays_of(std::span<const Row> rows, std::size_t columns) {
  Row arrays;
  for (std::size_t column = 0; column < columns; ++column)
    arrays.emplace_back(array_of(rows, column));
  return arrays;
}

// Sums of whole numbers come as "numeric".
enum TypeNumber : pqxx::oid { int8 = 20, int2 = 21, int4 = 23, float8 = 701, numeric = 1700 };

Value value_of(const pqxx::field& field) {
  if (field.is_null()) return {};
  switch (field.type()) {
    case int2:
    case int4:
    case int8:
    case numeric:
      return field.as<std::int64_t>();
    case float8:
      return std::strtod(field.c_str(), nullptr);
    default:
      return field.as<std::string>();
  }
}

Row row_of(const pqxx::row& row) {
  Row values;
  values.reserve(row.size());
  for (const pqxx::field& field : row) values.push_back(value_of(field));
  return values;
}

// Waits for whoever else writes rows.
void lock_rows(pqxx::transaction_base& work) {
  work.exec("SELECT pg_advisory_xact_lock(hashtext('lastlook rows'))");
}

// Makes the tables anew where they are not of this form. Those who may read keep that right: it is
// the schema's.
void make_where_needed(pqxx::work& work) {
  const std::string form = make_tables();
  const auto is_made = [&] {
    return !work.exec1("SELECT to_regclass('lastlook_rows.form')")[0].is_null() &&
           work.exec1("SELECT tables FROM lastlook_rows.form")[0].as<std::string>() == form;
  };
  if (is_made()) return;
  lock_rows(work);
  if (is_made()) return;  // by another program, just now
  work.exec("CREATE SCHEMA IF NOT EXISTS lastlook_rows");
  for (const pqxx::row& row :
       work.exec("SELECT quote_ident(relname) FROM pg_catalog.pg_class WHERE relnamespace = "
                 "'lastlook_rows'::regnamespace AND relkind IN ('r', 'p') AND NOT relispartition"))
    work.exec("DROP TABLE lastlook_rows." + row[0].as<std::string>());
  work.exec(form);
  work.exec("CREATE TABLE form (tables text NOT NULL)");
  work.exec_params0("INSERT INTO form VALUES ($1)", form);
}

Status check_form(pqxx::transaction_base& work) {
  const pqxx::result found = work.exec(
      "SELECT has_schema_privilege(oid, 'USAGE') FROM pg_catalog.pg_namespace "
      "WHERE nspname = 'lastlook_rows'");
  if (found.empty() || (found[0][0].as<bool>() &&
                        work.exec1("SELECT to_regclass('lastlook_rows.form')")[0].is_null()))
    return fail(Category::not_found,
                "nothing was projected in this store yet; see 'lastlook plant run'");
  if (!found[0][0].as<bool>())
    return fail(Category::refused,
                "this login may not read what the plant's store projected; see 'lastlook plant "
                "admit --reader'");
  if (work.exec1("SELECT tables FROM form")[0].as<std::string>() == make_tables()) return {};
  return rows_of_another_version();
}

}  // namespace

struct PostgresStore::Inside {
  std::unique_ptr<pqxx::connection> connection;
  std::unique_ptr<pqxx::transaction_base> open;  // between begin() and commit(); all of a reader's
  std::set<std::string> months;                  // parts that are known to be there
  std::set<std::string> prepared;

  // Runs a statement, prepared under a name, in the open transaction or by itself.
  template <class Text>
  pqxx::result run(const std::string& name, Text text, const Row& values) {
    if (prepared.insert(name).second) connection->prepare(name, std::string(text()));
    const Parameters parameters(values);
    const auto given = pqxx::prepare::make_dynamic_params(parameters.all());
    if (open) return open->exec_prepared(name, given);
    pqxx::nontransaction alone(*connection);
    return alone.exec_prepared(name, given);
  }

  void make_month(const Table& table, const Row& row) {
    const auto* date = std::get_if<std::string>(&row.front());
    const std::string part = date ? month_part(table, *date) : std::string();
    if (part.empty() || months.contains(part)) return;
    if (open->exec1("SELECT to_regclass('lastlook_rows." + part + "')")[0].is_null())
      open->exec(make_month_part(table, *date));
    months.insert(part);
  }
};

PostgresStore::PostgresStore(std::unique_ptr<Inside> inside) : inside_(std::move(inside)) {}
PostgresStore::~PostgresStore() = default;

Result<std::unique_ptr<PostgresStore>> PostgresStore::open(const std::string& address,
                                                           Access access) {
  auto connection = connect_postgres(address);
  if (!connection) return tl::unexpected(connection.error());
  auto inside = std::make_unique<Inside>();
  inside->connection = *std::move(connection);
  return guarded([&]() -> Result<std::unique_ptr<PostgresStore>> {
    pqxx::connection& server = *inside->connection;
    server.set_variable("search_path", "lastlook_rows, lastlook_plant, pg_catalog");
    if (access == Access::read) {
      inside->open =
          std::make_unique<pqxx::transaction<pqxx::repeatable_read, pqxx::read_only>>(server);
      if (Status same = check_form(*inside->open); !same) return tl::unexpected(same.error());
    } else {
      pqxx::work work(server);
      if (Status ours = check_owner(work); !ours) return tl::unexpected(ours.error());
      make_where_needed(work);
      work.commit();
    }
    return std::unique_ptr<PostgresStore>(new PostgresStore(std::move(inside)));
  });
}

Status PostgresStore::begin() {
  return guarded([&]() -> Status {
    inside_->open = std::make_unique<pqxx::work>(*inside_->connection);
    lock_rows(*inside_->open);
    return {};
  });
}

Status PostgresStore::commit() {
  return guarded([&]() -> Status {
    const auto open = std::move(inside_->open);
    open->commit();
    return {};
  });
}

void PostgresStore::rollback() {
  inside_->open.reset();
  inside_->months.clear();  // those that were made just now are gone
}

Result<std::optional<Row>> PostgresStore::find(const Table& table, const Row& key) {
  return guarded([&]() -> Result<std::optional<Row>> {
    const pqxx::result found = inside_->run(
        fmt::format("find {}", table.name), [&] { return find_sql(table); }, key);
    if (found.empty()) return std::nullopt;
    return row_of(found[0]);
  });
}

Status PostgresStore::check(const Table& table, const Row& row) {
  if (std::ranges::none_of(row, has_zero_byte)) return {};
  return fail(Category::refused,
              fmt::format("table {}: a text with a zero byte, which the store's server cannot hold",
                          table.name));
}

Status PostgresStore::put(const Table& table, const Row& row) {
  if (Status good = check(table, row); !good) return good;
  return guarded([&]() -> Status {
    if (is_cut_by_month(table)) inside_->make_month(table, row);
    inside_->run(
        fmt::format("put {}", table.name), [&] { return put_sql(table); }, row);
    return {};
  });
}

Status PostgresStore::erase(const Table& table, const Row& key) {
  return guarded([&]() -> Status {
    inside_->run(
        fmt::format("erase {}", table.name), [&] { return erase_sql(table); }, key);
    return {};
  });
}

Status PostgresStore::put_all(const Table& table, std::span<const Row> rows) {
  return guarded([&]() -> Status {
    if (is_cut_by_month(table))
      for (const Row& row : rows) inside_->make_month(table, row);
    inside_->run(
        fmt::format("put all {}", table.name), [&] { return put_all_sql(table); },
        arrays_of(rows, table.columns.size()));
    return {};
  });
}

Status PostgresStore::erase_all(const Table& table, std::span<const Row> keys) {
  return guarded([&]() -> Status {
    inside_->run(
        fmt::format("erase all {}", table.name), [&] { return erase_all_sql(table); },
        arrays_of(keys, table.key_columns));
    return {};
  });
}

Status PostgresStore::clear(const Table& table) {
  return guarded([&]() -> Status {
    // Not truncated: readers go on seeing the rows that there were. That may take long.
    if (inside_->open) inside_->open->exec("SET LOCAL statement_timeout = 0");
    inside_->run(fmt::format("clear {}", table.name), [&] { return clear_sql(table); }, {});
    return {};
  });
}

Status PostgresStore::rows(const Table& table, const Row& prefix,
                           const std::function<bool(const Row&)>& each) {
  return guarded([&]() -> Status {
    const auto text = [&] { return rows_sql(table, prefix.size()); };
    const auto name = fmt::format("rows {} {}", prefix.size(), table.name);
    for (const pqxx::row& row : inside_->run(name, text, prefix))
      if (!each(row_of(row))) break;
    return {};
  });
}

Status PostgresStore::query(std::string_view name, const Row& parameters,
                            const std::function<void(const Row&)>& each) {
  const auto known = named_query(name);
  if (!known) return tl::unexpected(known.error());
  return guarded([&]() -> Status {
    const auto text = [&] { return known->text; };
    for (const pqxx::row& row : inside_->run(fmt::format("query {}", name), text, parameters))
      each(row_of(row));
    return {};
  });
}

Status admit_reader(const std::string& address, const std::string& login) {
  auto connection = connect_postgres(address);
  if (!connection) return tl::unexpected(connection.error());
  return guarded([&]() -> Status {
    pqxx::work work(**connection);
    if (Status ours = check_owner(work); !ours) return ours;
    if (Status known = check_login(work, login); !known) return known;
    work.exec("CREATE SCHEMA IF NOT EXISTS lastlook_rows");
    const std::string name = work.quote_name(login);
    work.exec("GRANT USAGE ON SCHEMA lastlook_rows TO " + name);
    work.exec("GRANT SELECT ON ALL TABLES IN SCHEMA lastlook_rows TO " + name);
    // Also on those that are made later.
    work.exec("ALTER DEFAULT PRIVILEGES IN SCHEMA lastlook_rows GRANT SELECT ON TABLES TO " + name);
    work.commit();
    return {};
  });
}

}  // namespace lastlook::records
