// SPDX-License-Identifier: Apache-2.0
#include "kiosk/sync/postgres_setup.h"

#include <fmt/format.h>

#include "kiosk/records/postgres.h"
#include "kiosk/sync/sql.h"

namespace lastlook::sync {
namespace {

using records::connect_postgres;
using records::guarded;

constexpr int newest_form = 3;

// 0: there is none.
Result<int> form_of(pqxx::transaction_base& work) {
  if (work.exec1("SELECT to_regnamespace('lastlook_plant')")[0].is_null()) return 0;
  if (Status ours = records::check_owner(work); !ours) return tl::unexpected(ours.error());
  return work.exec1("SELECT version FROM lastlook_plant.form")[0].as<int>();
}

Status check_form(pqxx::transaction_base& work) {
  const auto form = form_of(work);
  if (!form) return tl::unexpected(form.error());
  if (*form >= newest_form) return {};
  return fail(Category::refused, fmt::format("this plant's store is of form {}, expected {}; "
                                             "'lastlook plant init' brings it there",
                                             *form, newest_form));
}

}  // namespace

Result<int> make_postgres(const std::string& address) {
  auto connection = connect_postgres(address);
  if (!connection) return tl::unexpected(connection.error());
  return guarded([&]() -> Result<int> {
    pqxx::work work(**connection);
    const auto encoding = work.exec1("SHOW server_encoding")[0].as<std::string>();
    if (encoding != "UTF8")
      return fail(Category::refused,
                  fmt::format("the database keeps text as {}, expected UTF8", encoding));
    const auto form = form_of(work);
    if (!form) return form;
    if (*form > newest_form)
      return fail(Category::newer,
                  fmt::format("this plant's store is of form {}, made by a later version", *form));
    if (*form == newest_form)
      return fail(Category::refused, "there is a plant's store in this database already");
    if (*form == 0) work.exec(std::string(sql("postgres_plant")));
    if (*form < 2) work.exec(std::string(sql("postgres_plant_2")));
    work.exec(std::string(sql("postgres_plant_3")));
    work.commit();
    return *form;
  });
}

Status admit(pqxx::transaction_base& work, const std::string& login, const std::string& station,
             Sends sends) {
  if (Status ours = records::check_owner(work); !ours) return ours;
  if (Status known = records::check_login(work, login); !known) return known;
  if (Status form = check_form(work); !form) return form;
  const bool office = sends == Sends::office;
  const pqxx::result other =
      work.exec("SELECT station FROM lastlook_plant.station WHERE is_office");
  if (office && !other.empty())
    return fail(Category::refused,
                fmt::format("the station '{}' is the plant's office already; 'lastlook plant "
                            "office' makes another one that",
                            other[0][0].as<std::string>()));
  const pqxx::result added = work.exec_params(
      "INSERT INTO lastlook_plant.station VALUES ($1, $2, $3) ON CONFLICT DO NOTHING RETURNING 1",
      login, station, office);
  if (added.empty())
    return fail(Category::refused,
                fmt::format("the login '{}' or the station '{}' is taken", login, station));
  work.exec_params("SELECT lastlook_plant.grant_station($1)", login);
  return {};
}

Status admit(const std::string& address, const std::string& login, const std::string& station,
             Sends sends) {
  auto connection = connect_postgres(address);
  if (!connection) return tl::unexpected(connection.error());
  return guarded([&]() -> Status {
    pqxx::work work(**connection);
    if (Status admitted = admit(work, login, station, sends); !admitted) return admitted;
    work.commit();
    return {};
  });
}

Status make_office(pqxx::transaction_base& work, const std::string& station) {
  if (Status ours = records::check_owner(work); !ours) return ours;
  if (Status form = check_form(work); !form) return form;
  work.exec("UPDATE lastlook_plant.station SET is_office = false WHERE is_office");
  const pqxx::result made = work.exec_params(
      "UPDATE lastlook_plant.station SET is_office = true WHERE station = $1 RETURNING 1", station);
  if (made.empty())
    return fail(
        Category::refused,
        fmt::format("no login sends as station '{}'; 'lastlook plant admit' lets one in", station));
  return {};
}

Status admit_tester(const std::string& address, const std::string& login) {
  auto connection = connect_postgres(address);
  if (!connection) return tl::unexpected(connection.error());
  return guarded([&]() -> Status {
    pqxx::work work(**connection);
    if (Status ours = records::check_owner(work); !ours) return ours;
    if (Status known = records::check_login(work, login); !known) return known;
    if (Status form = check_form(work); !form) return form;
    const std::string name = work.quote_name(login);
    work.exec("GRANT USAGE ON SCHEMA lastlook_plant TO " + name);
    // Not who gave it and when: the store says that itself.
    work.exec(
        "GRANT INSERT (station, serial, variant, test, result, value, measured, made, part, lot) "
        "ON lastlook_plant.result TO " +
        name);
    work.commit();
    return {};
  });
}

}  // namespace lastlook::sync
