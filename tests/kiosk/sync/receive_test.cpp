// SPDX-License-Identifier: Apache-2.0
// What comes down from a server: results by its table, and the master data of the plant's office.
#include "kiosk/sync/receive.h"

#include <fmt/format.h>

#include <fstream>
#include <pqxx/pqxx>

#include "kiosk/sync/courier.h"
#include "kiosk/sync/send.h"
#include "kiosk/sync/sql.h"
#include "kiosk/text/result_file.h"
#include "tests/kiosk/sync/stores.h"

namespace lastlook::sync {
namespace {

namespace fs = std::filesystem;
using namespace std::chrono_literals;
using records::testing::Station;
using records::testing::TempFolder;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::SizeIs;

class ReceiveTest : public ::testing::Test {
 protected:
  ReceiveTest() {
    must(admit_tester(place.owner(), "ll2"));
    tester = testing::Cluster::running().address("ll2", place.database());
  }
  void give(const std::string& columns, const std::string& values) const {
    pqxx::connection connection(tester);
    pqxx::work work(connection);
    work.exec(insert(columns, values));
    work.commit();
  }
  static std::string insert(const std::string& columns, const std::string& values) {
    return fmt::format("INSERT INTO lastlook_plant.result ({}) VALUES {}", columns, values);
  }
  void give_leak(const std::string& serial) const {
    give("serial, test, result, measured",
         fmt::format("('{}', 'leak', 'passed', '2026-11-25 06:12:03+01')", serial));
  }
  std::int64_t receive() const { return must(receive_results(folder.path(), *place.open())); }
  std::vector<fs::path> files() const {
    std::vector<fs::path> all;
    std::error_code none;
    for (const auto& file : fs::directory_iterator(folder.path() / "incoming", none))
      all.push_back(file.path());
    std::ranges::sort(all);
    return all;
  }
  std::vector<std::string> serials() const {
    std::vector<std::string> all;
    for (const fs::path& file : files())
      for (const auto& one : must(text::read_result_file(file.string())).results)
        all.push_back(one.serial);
    return all;
  }
  const Place place{Kind::server};
  TempFolder folder;
  std::string tester;
};

TEST_F(ReceiveTest, ARowBecomesAFileThatTheStationReads) {
  give("serial, test, result, value, measured",
       "('26330-00417', 'leak', 'passed', '0.4 cm3/min, \"cold\"', '2026-11-25 06:12:03.25+01')");
  give("serial, variant", "('26330-00418', 'CP-210')");
  EXPECT_EQ(receive(), 2);
  ASSERT_THAT(files(), SizeIs(1));
  EXPECT_EQ(files()[0].extension(), ".csv");
  const text::ResultFile file = must(text::read_result_file(files()[0].string()));
  ASSERT_THAT(file.results, SizeIs(1));
  const domain::ResultEntered& leak = file.results[0];
  EXPECT_EQ(leak.serial, "26330-00417");
  EXPECT_EQ(leak.result.test, domain::UpstreamTest::leak);
  EXPECT_TRUE(leak.result.passed);
  EXPECT_EQ(leak.result.value, "0.4 cm3/min, \"cold\"");
  EXPECT_EQ(leak.result.measured_us, domain::moment_of("2026-11-25T06:12:03.25+01:00"));
  ASSERT_THAT(file.built, SizeIs(1));
  EXPECT_EQ(file.built[0].variant, "CP-210");
  EXPECT_EQ(receive(), 0) << "it came already";
}

TEST_F(ReceiveTest, ManyRowsComeInSeveralFilesAndInOrder) {
  pqxx::connection connection(tester);
  pqxx::work work(connection);
  work.exec(
      "INSERT INTO lastlook_plant.result (serial, test, result, measured) "
      "SELECT lpad(n::text, 5, '0'), 'leak', 'passed', now() FROM generate_series(1, 1201) n");
  work.commit();
  EXPECT_EQ(receive(), 1'201);
  EXPECT_THAT(files(), SizeIs(3));
  auto came = serials();
  ASSERT_THAT(came, SizeIs(1'201));
  std::ranges::sort(came);
  EXPECT_EQ(came.front(), "00001");
  EXPECT_EQ(came.back(), "01201");
  EXPECT_TRUE(std::ranges::adjacent_find(came) == came.end());
}

TEST_F(ReceiveTest, ARowMayNameThePartsInsideAndTheDay) {
  give("serial, variant, made, part, lot", "('1', 'CP-210', '2026-11-24', 'seal ring', 'L-2291')");
  give("serial, part, lot", "('1', 'stator', 'S-118734')");
  EXPECT_EQ(receive(), 2);
  const text::ResultFile file = must(text::read_result_file(files()[0].string()));
  ASSERT_THAT(file.built, SizeIs(1));
  EXPECT_EQ(file.built[0].made, "2026-11-24");
  EXPECT_THAT(file.fitted, ElementsAre(domain::PartsFitted{
                               "1", {{"seal ring", "L-2291"}, {"stator", "S-118734"}}}));
  EXPECT_THAT(refusal(tester, insert("serial, part", "('1', 'stator')")),
              HasSubstr("a_part_has_a_lot"));
  EXPECT_THAT(refusal(tester, insert("serial, made", "('1', '2026-11-24')")),
              HasSubstr("a_variant_or_a_part_or_a_test"));
}

// Numbers are given out when a row is inserted, and rows are seen when they are committed.
TEST_F(ReceiveTest, ARowThatIsCommittedLateIsNotPassedOver) {
  pqxx::connection slow(tester);
  pqxx::work late(slow);
  late.exec(insert("serial, test, result, measured", "('late', 'leak', 'passed', now())"));
  give_leak("early");  // a higher number, committed first
  receive();
  late.commit();
  receive();
  EXPECT_THAT(serials(), ElementsAre("late", "early"));
}

TEST_F(ReceiveTest, AStationGetsItsOwnRowsAndThoseForAll) {
  give("station, serial, variant",
       "('LL-1', 'mine', 'CP-210'), ('LL-2', 'other', 'CP-210'), "
       "(NULL, 'everybody', 'CP-210')");
  EXPECT_EQ(receive(), 2);
  const text::ResultFile file = must(text::read_result_file(files().at(0).string()));
  EXPECT_EQ(file.built[0].serial, "mine");
  EXPECT_EQ(file.built[1].serial, "everybody");
}

TEST_F(ReceiveTest, WhatAStationWouldRefuseIsRefusedToWhoGivesIt) {
  const auto said = [&](const std::string& columns, const std::string& values) {
    return refusal(tester, insert(columns, values));
  };
  EXPECT_THAT(said("serial, test, result, measured", "('1', 'smell', 'passed', now())"),
              HasSubstr("result_test_check"));
  EXPECT_THAT(said("serial, test, result, measured", "('1', 'leak', 'good', now())"),
              HasSubstr("result_result_check"));
  EXPECT_THAT(said("serial, test, result", "('1', 'leak', 'passed')"),
              HasSubstr("a_test_has_result_and_time"));
  EXPECT_THAT(said("serial", "('1')"), HasSubstr("a_variant_or_a_part_or_a_test"));
  EXPECT_THAT(said("serial, variant", "(' ', 'CP-210')"), HasSubstr("result_serial_check"));
  EXPECT_THAT(said("serial, variant", "(E'1\\n2', 'CP-210')"), HasSubstr("result_serial_check"));
  EXPECT_THAT(
      said("serial, test, result, measured", "('1', 'leak', 'passed', now() + interval '2 hours')"),
      HasSubstr("leak of 1 was measured more than an hour later than now"));
  EXPECT_EQ(receive(), 0);
}

TEST_F(ReceiveTest, ATesterMayGiveAndNothingElse) {
  give_leak("1");
  for (const char* what :
       {"SELECT * FROM lastlook_plant.result", "DELETE FROM lastlook_plant.result",
        "UPDATE lastlook_plant.result SET result = 'passed'", "SELECT * FROM lastlook_plant.entry",
        "SELECT lastlook_plant.take()", "SELECT * FROM lastlook_plant.results_after('0', 0, 1)",
        "INSERT INTO lastlook_plant.result (serial, variant, given_by) VALUES ('1', 'V', 'owner')"})
    EXPECT_THAT(refusal(tester, what), HasSubstr("permission denied")) << what;
  // Nor does a station give results, or read the table but by its function.
  EXPECT_THAT(refusal(place.address(), insert("serial, variant", "('1', 'V')")),
              HasSubstr("permission denied"));
  EXPECT_THAT(refusal(place.address(), "SELECT * FROM lastlook_plant.result"),
              HasSubstr("permission denied"));
}

TEST_F(ReceiveTest, WhatWasCutBeforeItsPlaceWasNotedComesAgainInTheSameFile) {
  give_leak("1");
  receive();
  const auto before = files();
  fs::remove(folder.path() / "received.json");
  EXPECT_EQ(receive(), 1);
  EXPECT_EQ(files(), before);
}

TEST_F(ReceiveTest, ANoteThatCannotBeReadStartsAfresh) {
  give_leak("1");
  for (const char* note : {"", "{", "{\"mark\": 3}", "[]"}) {
    std::ofstream(folder.path() / "received.json") << note;
    EXPECT_EQ(receive(), 1) << note;
  }
  std::ofstream(folder.path() / "received.json") << R"({"mark": "'; DROP"})";
  const auto wrong = receive_results(folder.path(), *place.open());
  ASSERT_FALSE(wrong.has_value());
  EXPECT_THAT(wrong.error().message, HasSubstr("no place in a table of results"));
}

TEST_F(ReceiveTest, AStationThatBeginsGetsWhatIsOnTheLineOnly) {
  give_leak("old");
  pqxx::connection owner(place.owner());
  pqxx::work work(owner);
  work.exec("UPDATE lastlook_plant.result SET given_at = now() - interval '31 days'");
  work.commit();
  EXPECT_EQ(receive(), 0);
  give_leak("new");
  EXPECT_EQ(receive(), 1);
  EXPECT_THAT(serials(), ElementsAre("new"));
}

TEST_F(ReceiveTest, AFileAsAStoreHasNothingThatGoesDown) {
  const Place stick{Kind::file};
  EXPECT_EQ(must(receive_results(folder.path(), *stick.open())), 0);
  EXPECT_FALSE(must(newer_master(*stick.open(), 0)));
  EXPECT_THAT(files(), IsEmpty());
}

// The form that the first stores had.
TEST_F(ReceiveTest, AStoreOfTheFirstFormIsSentToAndBroughtUpByItsOwner) {
  auto& cluster = testing::Cluster::running();
  const std::string database = cluster.new_database();
  const std::string owner = cluster.address("owner", database);
  {
    pqxx::connection connection(owner);
    pqxx::work work(connection);
    work.exec(std::string(sql("postgres_plant")));
    work.exec("INSERT INTO lastlook_plant.station VALUES ('ll1', 'LL-1')");
    work.exec(
        "GRANT USAGE ON SCHEMA lastlook_plant TO ll1; GRANT EXECUTE ON FUNCTION "
        "lastlook_plant.take(), lastlook_plant.head(text), lastlook_plant.hash_at(text, bigint) "
        "TO ll1");
    work.commit();
  }
  Station station;
  const std::string address = cluster.address("ll1", database);
  const auto plant = must(open_plant_store(address, false));
  must(send(station.records->store(), *plant));
  EXPECT_EQ(must(receive_results(folder.path(), *plant)), 0);
  EXPECT_FALSE(must(newer_master(*plant, 0)));
  EXPECT_THAT(admit_tester(owner, "ll2").error().message, HasSubstr("is of form 1, expected 3"));

  EXPECT_EQ(must(make_postgres(owner)), 1);
  EXPECT_FALSE(make_postgres(owner).has_value());
  must(admit_tester(owner, "ll2"));
  {
    pqxx::connection connection(cluster.address("ll2", database));
    pqxx::work work(connection);
    work.exec(insert("serial, variant", "('1', 'CP-210')"));
    work.commit();
  }
  EXPECT_EQ(must(receive_results(folder.path(), *plant)), 1) << "by the right given before";
  EXPECT_EQ(must(plant->head(station.records->journal())).seq, 2) << "what was sent is there";
}

std::string plant_of(std::int64_t revision) {
  domain::Master master = domain::testing::small_plant();
  master.revision = revision;
  return text::write_master(master);
}

// The small plant's revision 7 is what each station begins with.
class MasterTest : public ::testing::Test {
 protected:
  MasterTest() { must(admit(place.owner(), "ll2", "office", Sends::office)); }
  void send_office() {
    const auto as_office = testing::Cluster::running().address("ll2", place.database());
    must(send(office.records->store(), *must(open_plant_store(as_office, false))));
  }
  void adopt(std::int64_t revision) {
    office.happen(domain::MasterAdopted{revision, plant_of(revision), "p-7"});
    send_office();
  }
  const Place place{Kind::server};
  Station office{"office"};
};

TEST_F(MasterTest, TheNewestRevisionOfTheOfficeComesDown) {
  EXPECT_FALSE(must(newer_master(*place.open(), 0))) << "it has sent none";
  send_office();
  EXPECT_EQ(must(newer_master(*place.open(), 0))->revision, 7);
  adopt(9);
  EXPECT_EQ(must(newer_master(*place.open(), 8)), (domain::MasterAdopted{9, plant_of(9), "p-7"}));
  EXPECT_FALSE(must(newer_master(*place.open(), 9))) << "the station works under it";
}

TEST_F(MasterTest, AfterARestoreOfTheOfficeItsNewJournalCounts) {
  adopt(8);
  must(office.records->start_new_journal(office.clock.read()));
  EXPECT_EQ(must(newer_master(*place.open(), 0))->revision, 8);
  adopt(9);
  EXPECT_EQ(must(newer_master(*place.open(), 0))->revision, 9);
}

TEST_F(MasterTest, WhatAnotherStationAdoptsIsItsOwn) {
  Station station;
  must(send(station.records->store(), *place.open()));
  EXPECT_FALSE(must(newer_master(*place.open(), 0)));
}

TEST_F(MasterTest, AChangedEntryIsNotAdopted) {
  adopt(8);
  pqxx::connection owner(testing::Cluster::running().address("admin", place.database()));
  pqxx::work work(owner);
  work.exec(
      "ALTER TABLE lastlook_plant.entry DISABLE TRIGGER ALL; UPDATE lastlook_plant.entry SET "
      "body = replace(body, 'p-7', 'p-8') WHERE kind = 'master_adopted'");
  work.commit();
  const auto newer = newer_master(*place.open(), 0);
  ASSERT_FALSE(newer.has_value());
  EXPECT_EQ(newer.error().category, Category::damaged);
  EXPECT_THAT(newer.error().message, HasSubstr("it is not as it was written"));
}

TEST_F(MasterTest, ThereIsOneOffice) {
  const Status second = admit(place.owner(), "admin", "office-2", Sends::office);
  ASSERT_FALSE(second.has_value());
  EXPECT_THAT(second.error().message, HasSubstr("'office' is the plant's office already"));
}

template <class Is>
bool comes_true(Is is) {
  const auto end = std::chrono::steady_clock::now() + 30s;
  while (!is() && std::chrono::steady_clock::now() < end) std::this_thread::sleep_for(1ms);
  return is();
}

TEST_F(MasterTest, TheCourierOffersItUntilTheStationHasIt) {
  adopt(9);
  Station station;
  std::atomic<std::int64_t> offered = 0, times = 0;
  const Courier courier({.folder = station.folder.path(),
                         .open = [this] { return open_plant_store(place.address(), false); },
                         .clock = station.clock,
                         .master =
                             [&](const domain::MasterAdopted& newer) {
                               offered = newer.revision;
                               ++times;
                             },
                         .rest = 1ms});
  ASSERT_TRUE(comes_true([&] { return times > 2; }));
  EXPECT_EQ(offered, 9);
  station.happen(domain::MasterAdopted{9, plant_of(9), "p-7"});
  std::int64_t seen = -1;
  EXPECT_TRUE(comes_true([&] {
    const std::int64_t before = std::exchange(seen, times);
    std::this_thread::sleep_for(200ms);
    return before == times;
  })) << "it is offered no more";
}

}  // namespace
}  // namespace lastlook::sync
