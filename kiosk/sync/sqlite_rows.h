// SPDX-License-Identifier: Apache-2.0
// Running one statement of a plant's store in a file. Private to it.
#pragma once

#include <initializer_list>

#include "analytics/result.h"
#include "kiosk/records/sqlite.h"

namespace lastlook::sync {

// Until `each` returns false.
template <class Each>
Status read_rows(Result<records::Statement> statement,
                 std::initializer_list<records::Value> parameters, Each each) {
  if (!statement) return tl::unexpected(statement.error());
  int at = 0;
  for (const records::Value& value : parameters) statement->bind(++at, value);
  while (true) {
    const auto row = statement->step();
    if (!row) return tl::unexpected(row.error());
    if (!*row || !each(*statement)) return {};
  }
}

inline Status run(Result<records::Statement> statement,
                  std::initializer_list<records::Value> parameters) {
  return read_rows(std::move(statement), parameters,
                   [](const records::Statement&) { return true; });
}

}  // namespace lastlook::sync
