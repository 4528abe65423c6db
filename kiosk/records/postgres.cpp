// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/postgres.h"

#include <fmt/format.h>

namespace lastlook::records {
namespace {

// The address with our deadlines, where it does not set its own.
std::string with_deadlines(std::string address) {
  const auto add = [&](const std::string& name, const char* value) {
    if (address.find(name + "=") != std::string::npos) return;
    address += (address.find('?') == std::string::npos ? "?" : "&") + name + "=" + value;
  };
  add("connect_timeout", "10");
  add("tcp_user_timeout", "15000");
  add("keepalives_idle", "10");
  add("keepalives_interval", "5");
  add("keepalives_count", "3");
  add("application_name", "lastlook");
  add("options", "-c%20statement_timeout%3D30s%20-c%20lock_timeout%3D10s");
  return address;
}

}  // namespace

Error error_of(const pqxx::sql_error& error) {
  const std::string said = first_line(error.what());
  const std::string prefix = "ERROR:  ";
  const std::string sentence = said.starts_with(prefix) ? said.substr(prefix.size()) : said;
  const std::string& state = error.sqlstate();
  if (state == "LL001") return {Category::refused, sentence};
  // Classes 22 (data exception) and 54 (a limit of the server): the server is well, the data are
  // not, and the next try would say the same.
  const bool of_data = state == "23505" || state.starts_with("22") || state.starts_with("54");
  return {state == "55P03" ? Category::busy
          : of_data        ? Category::refused
                           : Category::io,
          "the store's server says: " + sentence};
}

Status check_owner(pqxx::transaction_base& work) {
  const pqxx::result found = work.exec(
      "SELECT session_user, pg_has_role(session_user, nspowner, 'USAGE'), "
      "pg_get_userbyid(nspowner) "
      "FROM pg_catalog.pg_namespace WHERE nspname = 'lastlook_plant'");
  if (found.empty())
    return fail(Category::not_found,
                "there is no plant's store in this database; see 'lastlook plant init'");
  if (found[0][1].as<bool>()) return {};
  return fail(Category::refused, "the login " + found[0][0].as<std::string>() +
                                     " does not own this plant's store; connect as " +
                                     found[0][2].as<std::string>());
}

Status check_login(pqxx::transaction_base& work, const std::string& login) {
  if (!work.exec_params("SELECT FROM pg_catalog.pg_roles WHERE rolname = $1", login).empty())
    return {};
  return fail(Category::not_found, fmt::format("there is no login '{}' on the server", login));
}

Result<std::unique_ptr<pqxx::connection>> connect_postgres(const std::string& address) {
  return guarded([&]() -> Result<std::unique_ptr<pqxx::connection>> {
    auto connection = std::make_unique<pqxx::connection>(with_deadlines(address));
    connection->set_client_encoding("UTF8");
    return connection;
  });
}

}  // namespace lastlook::records
