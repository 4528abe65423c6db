// SPDX-License-Identifier: Apache-2.0
// A connection to PostgreSQL, and its errors as values. For the rows and for a plant's store.
#pragma once

#include <memory>
#include <pqxx/pqxx>
#include <string>

#include "analytics/result.h"

namespace lastlook::records {

// What libpq says may be several lines; a person gets the first.
inline std::string first_line(const std::string& said) {
  return said.substr(0, said.find('\n'));
}

Error error_of(const pqxx::sql_error& error);

// Runs a piece of work against the server; every way in which it can fail becomes an Error.
// refused: what a function of the store itself refuses, a key that is there already, or data that
// the server cannot hold (a text too long for an index, a number out of its range); busy: locked
// for too long; else io, in the server's words.
template <class Work>
auto guarded(Work work) -> decltype(work()) {
  try {
    return work();
  } catch (const pqxx::in_doubt_error&) {
    return fail(Category::io,
                "the connection broke while the store was acknowledging; the next try asks it");
  } catch (const pqxx::sql_error& error) {
    return tl::unexpected(error_of(error));
  } catch (const std::exception& error) {
    return fail(Category::io, "the store is not reachable: " + first_line(error.what()));
  }
}

// refused: this login does not own the plant's store; not_found: there is none in this database.
Status check_owner(pqxx::transaction_base& work);
// not_found: the server has no such login.
Status check_login(pqxx::transaction_base& work, const std::string& login);

// Waits at most 10 s for a connection and 30 s for an answer, unless the address says otherwise.
// io: not reachable, in the server's words.
Result<std::unique_ptr<pqxx::connection>> connect_postgres(const std::string& address);

}  // namespace lastlook::records
