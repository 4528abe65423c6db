// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/postgres_joint.h"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <libpq-fe.h>

#include <memory>

#include "kiosk/records/postgres.h"
#include "kiosk/records/tables.h"

namespace lastlook::records {
namespace {

// What an address says, as the options of a server and of the login there.
struct Options {
  std::string server, login;
};

std::string option(pqxx::transaction_base& work, const std::string& name,
                   const std::string& value) {
  return fmt::format("{} {}", work.quote_name(name), work.quote(value));
}

Result<Options> options_of(pqxx::transaction_base& work, const std::string& address) {
  char* wrong = nullptr;
  const std::unique_ptr<PQconninfoOption, decltype(&PQconninfoFree)> all(
      PQconninfoParse(address.c_str(), &wrong), PQconninfoFree);
  const std::unique_ptr<char, decltype(&PQfreemem)> said(wrong, PQfreemem);
  if (!all)
    return fail(Category::bad_input, first_line(said ? said.get() : "the address has no form"));
  std::vector<std::string> server{"updatable 'false'"}, login;
  for (const PQconninfoOption* one = all.get(); one->keyword; ++one) {
    if (!one->val) continue;
    const std::string name = one->keyword;
    const bool is_logins = name == "user" || name == "password" || name.starts_with("sslcert") ||
                           name.starts_with("sslkey");
    (is_logins ? login : server).push_back(option(work, name, one->val));
  }
  return Options{fmt::format("{}", fmt::join(server, ", ")),
                 fmt::format("{}", fmt::join(login, ", "))};
}

std::string place_of(std::size_t i) {
  return fmt::format("lastlook_store_{}", i + 1);
}

Status add_store(pqxx::work& work, std::size_t i, const std::string& address) {
  const auto options = options_of(work, address);
  if (!options) return tl::unexpected(options.error());
  const std::string place = place_of(i);
  work.exec(fmt::format("CREATE SERVER {} FOREIGN DATA WRAPPER postgres_fdw OPTIONS ({})", place,
                        options->server));
  work.exec(fmt::format("CREATE USER MAPPING FOR CURRENT_USER SERVER {} OPTIONS ({})", place,
                        options->login));
  work.exec("CREATE SCHEMA " + place);
  std::vector<std::string> names{"form"};
  for (const Table* table : all_tables()) names.emplace_back(table->name);
  work.exec(fmt::format("IMPORT FOREIGN SCHEMA lastlook_rows LIMIT TO ({}) FROM SERVER {} INTO {}",
                        fmt::join(names, ", "), place, place));
  const auto found = work.exec_params1(
      "SELECT count(*) FROM pg_catalog.pg_class WHERE relnamespace = to_regnamespace($1)", place);
  if (found[0].as<std::size_t>() == names.size()) return {};
  return fail(Category::refused,
              fmt::format("store {}: its rows are not there, are of another form, or may not be "
                          "read by this login; see 'lastlook plant run' and 'plant admit --reader'",
                          i + 1));
}

std::string union_of(const std::string& columns, std::string_view table, std::size_t stores) {
  std::vector<std::string> parts;
  for (std::size_t i = 0; i < stores; ++i)
    parts.push_back(fmt::format("SELECT {} FROM {}.{}", columns, place_of(i), table));
  return fmt::format("{}", fmt::join(parts, " UNION ALL "));
}

void make_views(pqxx::work& work, std::size_t stores) {
  work.exec("CREATE SCHEMA lastlook_rows");
  for (const Table* table : all_tables()) {
    const std::string columns = fmt::format("{}", fmt::join(table->columns, ", "));
    std::string rows = union_of(columns, table->name, stores);
    // Results of a unit may have gone to stations of several stores.
    if (table->name == UnitRow::table)
      rows = fmt::format("SELECT serial, max(disputed) AS disputed FROM ({}) AS u GROUP BY serial",
                         rows);
    work.exec(fmt::format("CREATE VIEW lastlook_rows.{} AS {}", table->name, rows));
  }
  // Stores of several forms have none in common.
  work.exec(
      fmt::format("CREATE VIEW lastlook_rows.form AS SELECT CASE count(DISTINCT tables) WHEN 1 "
                  "THEN min(tables) "
                  "ELSE 'several forms' END AS tables FROM ({}) AS f",
                  union_of("tables", "form", stores)));
}

bool holds_rows_of_its_own(pqxx::work& work) {
  return !work.exec(
                  "SELECT FROM pg_catalog.pg_class WHERE relkind IN ('r', 'p') AND relnamespace "
                  "IN (to_regnamespace('lastlook_rows'), to_regnamespace('lastlook_plant')) "
                  "LIMIT 1")
              .empty();
}

void drop_joint(pqxx::work& work) {
  work.exec("DROP SCHEMA IF EXISTS lastlook_rows CASCADE");
  const pqxx::result servers = work.exec(
      "SELECT quote_ident(srvname) FROM pg_catalog.pg_foreign_server WHERE srvname ~ "
      "'^lastlook_store_[0-9]+$'");
  for (const pqxx::row& row : servers) {
    const auto name = row[0].as<std::string>();
    work.exec("DROP SCHEMA IF EXISTS " + name + " CASCADE");
    work.exec("DROP SERVER " + name + " CASCADE");
  }
}

}  // namespace

Status make_joint(const std::string& address, const std::vector<std::string>& stores) {
  if (stores.empty()) return fail(Category::bad_input, "expected the stores that are to be asked");
  auto connection = connect_postgres(address);
  if (!connection) return tl::unexpected(connection.error());
  return guarded([&]() -> Status {
    pqxx::work work(**connection);
    if (holds_rows_of_its_own(work))
      return fail(Category::refused,
                  "this database holds a plant's own store; the joint view needs one of its own");
    work.exec("SET LOCAL client_min_messages = warning");
    work.exec("CREATE EXTENSION IF NOT EXISTS postgres_fdw");
    drop_joint(work);
    for (std::size_t i = 0; i < stores.size(); ++i)
      if (Status added = add_store(work, i, stores[i]); !added) return added;
    make_views(work, stores.size());
    work.commit();
    return {};
  });
}

}  // namespace lastlook::records
