// SPDX-License-Identifier: Apache-2.0
// An empty store of each driver. PostgreSQL's is in a database whose language orders text otherwise
// than by its bytes.
#pragma once

#include <gtest/gtest.h>

#include <memory>
#include <string>
#include <utility>

#include "kiosk/records/postgres_store.h"
#include "kiosk/records/rows_in_hand.h"
#include "kiosk/records/sqlite_store.h"
#include "kiosk/sync/postgres_plant.h"
#include "kiosk/sync/postgres_setup.h"
#include "tests/kiosk/records/station.h"
#include "tests/kiosk/sync/cluster.h"

namespace lastlook::records::testing {

enum class Driver { sqlite, postgres, postgres_in_hand };
inline std::string name_of(Driver driver) {
  return driver == Driver::sqlite     ? "Sqlite"
         : driver == Driver::postgres ? "Postgres"
                                      : "PostgresInHand";
}

// Few are held, so that most of them are written before the transaction ends.
struct Server {
  std::unique_ptr<PostgresStore> server;
};
struct ServerInHand : Server, RowsInHand {
  explicit ServerInHand(std::unique_ptr<PostgresStore> opened)
      : Server{std::move(opened)}, RowsInHand(*server, 5) {}
};

class Home {
 public:
  explicit Home(Driver driver) : driver_(driver) {
    if (driver == Driver::sqlite) return;
    auto& cluster = sync::testing::Cluster::running();
    database_ = cluster.new_database("TEMPLATE template0 LOCALE_PROVIDER icu ICU_LOCALE de");
    address_ = cluster.address("owner", database_);
    must(sync::make_postgres(address_));
  }
  std::unique_ptr<Store> open(Access access) const {
    if (driver_ == Driver::sqlite) return must(SqliteStore::open(folder_.path() / "rows", access));
    auto server = must(PostgresStore::open(address_, access));
    if (driver_ == Driver::postgres) return server;
    return std::make_unique<ServerInHand>(std::move(server));
  }
  const std::string& address() const { return address_; }
  const std::string& database() const { return database_; }

 private:
  Driver driver_;
  TempFolder folder_;
  std::string address_, database_;
};

}  // namespace lastlook::records::testing
