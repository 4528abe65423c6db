// SPDX-License-Identifier: Apache-2.0
// The SQL of kiosk/records/sql, compiled in.
#pragma once

#include <span>
#include <string_view>

namespace lastlook::records {

struct SqlText {
  std::string_view name;  // of the file, without suffix
  std::string_view text;
};

// In the subset that SQLite and PostgreSQL share; parameters are $1, $2, …
std::span<const SqlText> named_queries();

// In the order of their numbers, from 1 without a gap: "001_first_tables". The newest number is the
// form of the rows on both databases, so there is one too for a projector that makes other rows of
// the same entries, if only with a comment in it: it has them made again everywhere.
std::span<const SqlText> sqlite_migrations();

// What PostgreSQL gets beside the tables, which tables.h describes.
std::span<const SqlText> postgres_extras();

}  // namespace lastlook::records
