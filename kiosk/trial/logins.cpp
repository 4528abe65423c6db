// SPDX-License-Identifier: Apache-2.0
#include "kiosk/trial/logins.h"

#include <fmt/format.h>

#include <random>

#include "kiosk/records/postgres.h"
#include "kiosk/sync/postgres_setup.h"

namespace lastlook::trial {
namespace {

constexpr std::string_view prefix = "lastlook_trial_";

bool is_server(const std::string& store) {
  return store.starts_with("postgresql://");
}

std::string new_password() {
  std::random_device random;
  return fmt::format("{:08x}{:08x}{:08x}{:08x}", random(), random(), random(), random());
}

// What an address says last, it means.
std::string address_of(const std::string& store, const std::string& login,
                       const std::string& password) {
  return fmt::format("{}{}user={}&password={}", store,
                     store.find('?') == std::string::npos ? '?' : '&', login, password);
}

void drop(pqxx::work& work) {
  const pqxx::result found = work.exec_params(
      "SELECT quote_ident(rolname) FROM pg_catalog.pg_roles WHERE starts_with(rolname, $1)",
      std::string(prefix));
  for (const pqxx::row& row : found) {
    const auto login = row[0].as<std::string>();
    work.exec_params("DELETE FROM lastlook_plant.station WHERE login = $1", login);
    work.exec("DROP OWNED BY " + login);
    work.exec("DROP ROLE " + login);
  }
}

bool is_running(pqxx::work& work) {
  return !work.exec_params("SELECT FROM pg_catalog.pg_stat_activity WHERE starts_with(usename, $1)",
                           std::string(prefix))
              .empty();
}

}  // namespace

Result<std::vector<std::string>> make_logins(const std::string& store,
                                             const std::vector<std::string>& stations) {
  if (!is_server(store)) return std::vector<std::string>(stations.size(), store);
  auto connection = records::connect_postgres(store);
  if (!connection) return tl::unexpected(connection.error());
  return records::guarded([&]() -> Result<std::vector<std::string>> {
    pqxx::work work(**connection);
    if (Status ours = records::check_owner(work); !ours) return tl::unexpected(ours.error());
    if (is_running(work)) return fail(Category::refused, "another trial runs on this server");
    drop(work);
    std::vector<std::string> addresses;
    for (const std::string& station : stations) {
      const std::string login = fmt::format("{}{}", prefix, addresses.size() + 1);
      const std::string password = new_password();
      work.exec(fmt::format("CREATE ROLE {} LOGIN PASSWORD '{}'", login, password));
      work.exec(fmt::format("GRANT {} TO CURRENT_USER", login));  // to take away what it was given
      if (Status in = sync::admit(work, login, station); !in) return tl::unexpected(in.error());
      addresses.push_back(address_of(store, login, password));
    }
    work.commit();
    return addresses;
  });
}

Status drop_logins(const std::string& store) {
  if (!is_server(store)) return {};
  auto connection = records::connect_postgres(store);
  if (!connection) return tl::unexpected(connection.error());
  return records::guarded([&]() -> Status {
    pqxx::work work(**connection);
    drop(work);
    work.commit();
    return {};
  });
}

}  // namespace lastlook::trial
