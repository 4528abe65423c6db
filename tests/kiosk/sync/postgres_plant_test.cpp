// SPDX-License-Identifier: Apache-2.0
// What the server alone must hold: a station has no right but to send its own journal.
#include "kiosk/sync/postgres_plant.h"

#include <fmt/format.h>

#include <pqxx/pqxx>

#include "kiosk/sync/send.h"
#include "tests/kiosk/sync/stores.h"

namespace lastlook::sync {
namespace {

using records::testing::Station;
using ::testing::HasSubstr;

class PostgresPlantTest : public ::testing::Test {
 protected:
  PostgresPlantTest() { station.look("k-1", "1", 1, domain::Disposition::accept); }
  Station station;
  const Place place{Kind::server};
};

TEST_F(PostgresPlantTest, AStationHasNoRightToAnyTable) {
  must(send(station.records->store(), *place.open()));
  for (const char* table :
       {"entry", "journal", "station", "form", "result", "picture", "picture_part"})
    for (const char* what : {"SELECT * FROM", "DELETE FROM", "TRUNCATE"})
      EXPECT_THAT(refusal(place.address(), fmt::format("{} lastlook_plant.{}", what, table)),
                  HasSubstr("permission denied"));
  EXPECT_THAT(refusal(place.address(), "SELECT lastlook_plant.begin_journal('', '{}', '', '')"),
              HasSubstr("permission denied"));
}

TEST_F(PostgresPlantTest, NobodyChangesAnEntryNotEvenTheOwner) {
  must(send(station.records->store(), *place.open()));
  for (const char* what : {"UPDATE lastlook_plant.entry SET actor = 'p-2'",
                           "DELETE FROM lastlook_plant.entry", "TRUNCATE lastlook_plant.entry"})
    EXPECT_THAT(refusal(place.owner(), what), HasSubstr("never changed or deleted"));
}

TEST_F(PostgresPlantTest, ALoginSendsAsItsOwnStationOnly) {
  must(admit(place.owner(), "ll2", "LL-2"));
  const auto as_other = testing::Cluster::running().address("ll2", place.database());
  const auto sent = send(station.records->store(), *must(PostgresPlant::open(as_other)));
  ASSERT_FALSE(sent.has_value());
  EXPECT_EQ(sent.error().category, Category::refused);
  EXPECT_THAT(sent.error().message, HasSubstr("ll2 may not send as station LL-1"));
  // Nor does it learn how far another has come.
  must(send(station.records->store(), *place.open()));
  EXPECT_EQ(must(must(PostgresPlant::open(as_other))->head(station.records->journal())), Head{});
}

TEST_F(PostgresPlantTest, OnlyTheOwnerMakesAnOfficeAndOnlyOfAStationThatMaySend) {
  const Status by_station = place.open()->make_office("LL-1");
  ASSERT_FALSE(by_station.has_value());
  EXPECT_THAT(by_station.error().message, HasSubstr("does not own this plant's store"));
  const Status unknown = place.open_as_owner()->make_office("LL-9");
  ASSERT_FALSE(unknown.has_value());
  EXPECT_THAT(unknown.error().message, HasSubstr("no login sends as station 'LL-9'"));
  EXPECT_EQ(must(place.open_as_owner()->office()), "");
}

TEST_F(PostgresPlantTest, TakesFromAPlainTableOnly) {
  const std::string columns =
      "''::text AS journal, 1::bigint AS seq, ''::text AS stamp, ''::text AS actor, ''::text AS "
      "kind, 1::bigint AS version, ''::text AS body, ''::bytea AS previous, ''::bytea AS hash";
  EXPECT_THAT(refusal(place.address(), "CREATE TEMPORARY VIEW incoming AS SELECT " + columns +
                                           "; SELECT lastlook_plant.take()"),
              HasSubstr("not as it should be"));
  EXPECT_THAT(refusal(place.address(), "SELECT lastlook_plant.take()"),
              HasSubstr("not as it should be"));
}

TEST_F(PostgresPlantTest, SaysWhatIsWrongWithAnAddress) {
  const auto nowhere = PostgresPlant::open("postgresql://ll1@127.0.0.1:1/plant");
  ASSERT_FALSE(nowhere.has_value());
  EXPECT_EQ(nowhere.error().category, Category::io);
  EXPECT_THAT(nowhere.error().message, HasSubstr("not reachable"));
  const auto empty = PostgresPlant::open(
      testing::Cluster::running().address("owner", testing::Cluster::running().new_database()));
  ASSERT_FALSE(empty.has_value());
  EXPECT_EQ(empty.error().category, Category::not_found);
  EXPECT_FALSE(make_postgres(place.owner()).has_value());
  EXPECT_EQ(admit(place.owner(), "nobody", "LL-9").error().category, Category::not_found);
}

TEST_F(PostgresPlantTest, GoesOnAfterTheServerWasKilled) {
  auto& cluster = testing::Cluster::running();
  const auto plant = place.open();
  must(send(station.records->store(), *plant));
  cluster.stop();
  station.look("k-2", "2", 1, domain::Disposition::accept);
  const auto sent = send(station.records->store(), *plant);
  ASSERT_FALSE(sent.has_value());
  EXPECT_EQ(sent.error().category, Category::io);
  cluster.start();
  EXPECT_EQ(must(send(station.records->store(), *place.open())).looks, 1);
}

}  // namespace
}  // namespace lastlook::sync
