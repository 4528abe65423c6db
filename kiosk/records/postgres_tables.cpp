// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/postgres_tables.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <span>

#include "kiosk/records/row_sql.h"
#include "kiosk/records/tables.h"

namespace lastlook::records {
namespace {

// Text is ordered by its bytes, as SQLite orders it, whatever the database's language.
std::string_view type_of(ColumnType type) {
  switch (type) {
    case ColumnType::text:
      return "text COLLATE \"C\" NOT NULL";
    case ColumnType::text_or_none:
      return "text COLLATE \"C\"";
    case ColumnType::whole:
      return "bigint NOT NULL";
    case ColumnType::number:
      return "double precision";
  }
  return "";
}

bool is_date(const std::string& date) {
  constexpr std::string_view form = "dddd-dd-dd";
  return date.size() == form.size() &&
         std::equal(date.begin(), date.end(), form.begin(),
                    [](char c, char f) { return f == 'd' ? c >= '0' && c <= '9' : c == f; });
}

std::string make_table(const Table& table) {
  std::string text = fmt::format("CREATE TABLE {} (", table.name);
  for (std::size_t i = 0; i < table.columns.size(); ++i)
    text += fmt::format("{} {}, ", table.columns[i], type_of(table.types[i]));
  text += fmt::format("PRIMARY KEY ({}))", fmt::join(key_of(table), ", "));
  if (!is_cut_by_month(table)) return text + ";\n";
  return text + fmt::format(
                    " PARTITION BY RANGE ({0});\nCREATE TABLE {1}_no_date PARTITION OF {1} "
                    "DEFAULT;\n",
                    table.columns.front(), table.name);
}

std::string_view array_type_of(ColumnType type) {
  switch (type) {
    case ColumnType::text:
    case ColumnType::text_or_none:
      return "text[]";
    case ColumnType::whole:
      return "bigint[]";
    case ColumnType::number:
      return "double precision[]";
  }
  return "";
}

// The rows of arrays, one for each of the first `columns` columns.
std::string rows_of_arrays(const Table& table, std::size_t columns) {
  std::string text;
  for (std::size_t i = 0; i < columns; ++i)
    text += fmt::format("{}${}::{}", i == 0 ? "" : ", ", i + 1, array_type_of(table.types[i]));
  return fmt::format("unnest({})", text);
}

}  // namespace

bool is_cut_by_month(const Table& table) {
  return table.columns.front() == "production_date";
}

std::string month_part(const Table& table, const std::string& date) {
  if (!is_date(date)) return {};
  return fmt::format("{}_{}_{}", table.name, date.substr(0, 4), date.substr(5, 2));
}

std::string make_month_part(const Table& table, const std::string& date) {
  // As text: '2026-11' stands before every day of the month, and '2026-11~' after them.
  const std::string month = date.substr(0, 7);
  return fmt::format("CREATE TABLE {} PARTITION OF {} FOR VALUES FROM ('{}') TO ('{}~')",
                     month_part(table, date), table.name, month, month);
}

std::string make_tables() {
  std::string text = fmt::format("-- form {}\n", sqlite_migrations().size());
  for (const Table* table : all_tables()) text += make_table(*table);
  for (const SqlText& extra : postgres_extras()) text += extra.text;
  return text;
}

std::string put_all_sql(const Table& table) {
  return fmt::format("INSERT INTO {} ({}) SELECT * FROM {} {}", table.name,
                     fmt::join(table.columns, ", "), rows_of_arrays(table, table.columns.size()),
                     or_replace_sql(table));
}

std::string erase_all_sql(const Table& table) {
  const std::string key = fmt::format("{}", fmt::join(key_of(table), ", "));
  return fmt::format("DELETE FROM {} WHERE ({}) IN (SELECT * FROM {})", table.name, key,
                     rows_of_arrays(table, table.key_columns));
}

}  // namespace lastlook::records
