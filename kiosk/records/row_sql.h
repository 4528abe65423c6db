// SPDX-License-Identifier: Apache-2.0
// The SQL by which the rows of a table are found and written: the same on every driver. Private to
// the records.
#pragma once

#include <span>
#include <string>
#include <string_view>

#include "analytics/result.h"
#include "kiosk/records/sql.h"
#include "kiosk/records/store.h"

namespace lastlook::records {

std::span<const std::string_view> key_of(const Table& table);

// Parameters $1, $2, … are the key's columns; of rows_sql() the first `prefix` of them.
std::string find_sql(const Table& table);
std::string erase_sql(const Table& table);
std::string rows_sql(const Table& table, std::size_t prefix);
// Inserts or replaces by key; parameters are all columns, in their order.
std::string put_sql(const Table& table);
// The end of what inserts rows: one with the key of another takes its place.
std::string or_replace_sql(const Table& table);
std::string clear_sql(const Table& table);

// not_found: there is no such query in records/sql.
Result<SqlText> named_query(std::string_view name);

}  // namespace lastlook::records
