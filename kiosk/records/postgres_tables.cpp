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

}  // namespace lastlook::records
