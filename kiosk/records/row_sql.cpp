// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/row_sql.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

namespace lastlook::records {
namespace {

// " WHERE key = $1 AND …" of the first `columns` columns.
std::string where(const Table& table, std::size_t columns) {
  std::string text;
  for (std::size_t i = 0; i < columns; ++i)
    text += fmt::format("{} {} = ${}", i == 0 ? " WHERE" : " AND", table.columns[i], i + 1);
  return text;
}

std::string select(const Table& table, std::size_t columns) {
  return fmt::format("SELECT {} FROM {}{}", fmt::join(table.columns, ", "), table.name,
                     where(table, columns));
}

}  // namespace

std::span<const std::string_view> key_of(const Table& table) {
  return std::span(table.columns).first(table.key_columns);
}

std::string find_sql(const Table& table) {
  return select(table, table.key_columns);
}

std::string erase_sql(const Table& table) {
  return clear_sql(table) + where(table, table.key_columns);
}

std::string rows_sql(const Table& table, std::size_t prefix) {
  return fmt::format("{} ORDER BY {}", select(table, prefix), fmt::join(key_of(table), ", "));
}

std::string put_sql(const Table& table) {
  std::string places;
  for (std::size_t i = 0; i < table.columns.size(); ++i)
    places += fmt::format("{}${}", i == 0 ? "" : ", ", i + 1);
  return fmt::format("INSERT INTO {} ({}) VALUES ({}) {}", table.name,
                     fmt::join(table.columns, ", "), places, or_replace_sql(table));
}

std::string or_replace_sql(const Table& table) {
  std::string changes;
  for (const std::string_view column : std::span(table.columns).subspan(table.key_columns))
    changes += fmt::format("{}{} = excluded.{}", changes.empty() ? "" : ", ", column, column);
  return fmt::format("ON CONFLICT ({}) DO {}", fmt::join(key_of(table), ", "),
                     changes.empty() ? "NOTHING" : "UPDATE SET " + changes);
}

std::string clear_sql(const Table& table) {
  return fmt::format("DELETE FROM {}", table.name);
}

Result<SqlText> named_query(std::string_view name) {
  const auto all = named_queries();
  const auto known = std::ranges::find(all, name, &SqlText::name);
  if (known == all.end())
    return fail(Category::not_found, fmt::format("there is no query '{}'", name));
  return *known;
}

}  // namespace lastlook::records
