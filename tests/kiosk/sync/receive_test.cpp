// SPDX-License-Identifier: Apache-2.0
// What comes down from a plant's store: results by a server's table, and from every kind of store
// the master data of the plant's office.
#include "kiosk/sync/receive.h"

#include <fmt/format.h>

#include <fstream>
#include <pqxx/pqxx>

#include "kiosk/records/entry_line.h"
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
using ::testing::AnyOf;
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

TEST_F(ReceiveTest, AStoreInAFileOrAFolderGivesNoResults) {
  for (const Kind kind : {Kind::file, Kind::folder}) {
    EXPECT_EQ(must(receive_results(folder.path(), *Place(kind).open())), 0);
    EXPECT_THAT(files(), IsEmpty());
  }
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
class MasterTest : public ::testing::TestWithParam<Kind> {
 protected:
  MasterTest() { place.make_office("office"); }
  void send_office() { must(send(office.records->store(), *place.open_as_office())); }
  void adopt(std::int64_t revision) {
    office.happen(domain::MasterAdopted{revision, plant_of(revision), "p-7"});
    send_office();
  }
  // Changes the office's newest master data where it lies, its hash with it or not.
  void change_what_is_stored(bool hash_too) const;
  std::string error() const {
    const auto newer = newer_master(*place.open(), 0);
    EXPECT_FALSE(newer.has_value());
    EXPECT_EQ(newer.error().category, Category::damaged);
    return newer.error().message;
  }
  const Place place{GetParam()};
  Station office{"office"};
};

TEST_P(MasterTest, TheNewestRevisionOfTheOfficeComesDown) {
  EXPECT_FALSE(must(newer_master(*place.open(), 0))) << "it has sent none";
  send_office();
  EXPECT_EQ(must(newer_master(*place.open(), 0))->revision, 7);
  adopt(9);
  EXPECT_EQ(must(newer_master(*place.open(), 8)), (domain::MasterAdopted{9, plant_of(9), "p-7"}));
  EXPECT_FALSE(must(newer_master(*place.open(), 9))) << "the station works under it";
  office.look("k-1", "1", 1, domain::Disposition::accept);
  send_office();
  EXPECT_EQ(must(newer_master(*place.open(), 8))->revision, 9) << "whatever it does then";
}

TEST_P(MasterTest, AfterARestoreOfTheOfficeItsNewJournalCounts) {
  adopt(8);
  must(office.records->start_new_journal(office.clock.read()));
  send_office();
  EXPECT_EQ(must(newer_master(*place.open(), 0))->revision, 8);
  adopt(9);
  EXPECT_EQ(must(newer_master(*place.open(), 0))->revision, 9);
  office.happen(domain::MasterAdopted{10, plant_of(10), "p-7"});
  must(office.records->start_new_journal(office.clock.read()));
  adopt(11);
  EXPECT_EQ(must(newer_master(*place.open(), 0))->revision, 11);
}

TEST_P(MasterTest, WhatAnotherStationAdoptsIsItsOwn) {
  Station station;
  station.happen(domain::MasterAdopted{20, plant_of(20), "p-7"});
  must(send(station.records->store(), *place.open()));
  EXPECT_FALSE(must(newer_master(*place.open(), 0)));
  adopt(8);
  station.happen(domain::MasterAdopted{21, plant_of(21), "p-7"});
  must(send(station.records->store(), *place.open()));
  EXPECT_EQ(must(newer_master(*place.open(), 0))->revision, 8);
}

TEST_P(MasterTest, AnotherStationThatBecomesTheOfficeGivesWhatItHasSentAlready) {
  adopt(8);
  Station station;
  station.happen(domain::MasterAdopted{20, plant_of(20), "p-7"});
  must(send(station.records->store(), *place.open()));
  must(place.open_as_owner()->make_office("LL-1"));
  EXPECT_EQ(must(newer_master(*place.open(), 0))->revision, 20);
  adopt(30);
  EXPECT_EQ(must(newer_master(*place.open(), 0))->revision, 20) << "it was the office once";
}

TEST_P(MasterTest, WithoutAnOfficeNothingComesDown) {
  const Place other{GetParam()};
  Station station;
  station.happen(domain::MasterAdopted{20, plant_of(20), "p-7"});
  must(send(station.records->store(), *other.open()));
  EXPECT_FALSE(must(newer_master(*other.open(), 0)));
}

void MasterTest::change_what_is_stored(bool hash_too) const {
  records::Entry entry = *must(place.open()->newest_master());
  const std::string hash_before = records::to_hex(entry.hash);
  entry.body.replace(entry.body.find("p-7"), 3, "p-8");
  const std::string hash = records::to_hex(hash_too ? records::hash_of(entry) : entry.hash);
  if (GetParam() == Kind::server) {
    pqxx::connection owner(testing::Cluster::running().address("admin", place.database()));
    pqxx::work work(owner);
    work.exec("ALTER TABLE lastlook_plant.entry DISABLE TRIGGER ALL");
    work.exec_params(
        "UPDATE lastlook_plant.entry SET body = $1, hash = decode($2, 'hex') "
        "WHERE journal = $3 AND seq = $4",
        entry.body, hash, entry.journal, entry.seq);
    work.commit();
  } else if (GetParam() == Kind::file) {
    records::testing::sql(
        place.folder() / "plant.db",
        fmt::format("DROP TRIGGER plant_entry_is_never_changed; UPDATE plant_entry SET "
                    "body = replace(body, 'p-7', 'p-8'), hash = x'{}' WHERE hash = x'{}'",
                    hash, hash_before));
  } else {
    for (const auto& file : fs::directory_iterator(place.folder() / "plant" / entry.journal)) {
      if (!file.is_regular_file()) continue;
      std::ifstream in(file.path());
      std::string text, line;
      while (std::getline(in, line)) {
        const auto kept = must(records::read_line(line));
        records::Entry changed = entry;
        changed.hash = must(records::hash_from_hex(hash));
        text += (kept.seq == entry.seq ? records::write_line(changed) : line) + '\n';
      }
      std::ofstream(file.path(), std::ios::trunc) << text;
    }
  }
}

TEST_P(MasterTest, AChangedEntryIsNotAdopted) {
  adopt(8);
  change_what_is_stored(false);
  const std::string said = error();
  EXPECT_THAT(said, AnyOf(HasSubstr("it is not as it was written"),
                          HasSubstr("entry 3: its hash is not that of its bytes")));
  EXPECT_THAT(said, HasSubstr(office.records->journal().substr(0, 12)));
}

// Who changes an entry and its hash has to change all after it, too. At a server a station's login
// sees no entry but this one.
class MasterAmongOthersTest : public MasterTest {};

TEST_P(MasterAmongOthersTest, AnEntryThatNoLongerFitsBetweenThoseBesideItIsNotAdopted) {
  adopt(8);
  change_what_is_stored(true);
  EXPECT_THAT(error(), HasSubstr("entry 3: the store took ")) << "it was the last one";
}

TEST_P(MasterAmongOthersTest, NorWhereTheOneAfterItNamesAnother) {
  office.happen(domain::MasterAdopted{8, plant_of(8), "p-7"});
  office.look("k-1", "1", 1, domain::Disposition::accept);
  send_office();
  change_what_is_stored(true);
  EXPECT_THAT(error(), HasSubstr("entry 4: it names another entry as the one before it"));
}

TEST_P(MasterTest, ADocumentOfAnotherRevisionThanItsEntryPromisesIsNotAdopted) {
  office.happen(domain::MasterAdopted{12, plant_of(9), "p-7"});
  send_office();
  EXPECT_THAT(error(), HasSubstr("it promises revision 12 and its document is of revision 9"));
}

TEST(OfficeOnAServer, ALoginIsNotAdmittedAsASecondOne) {
  const Place place{Kind::server};
  must(admit(place.owner(), "ll2", "office", Sends::office));
  const Status second = admit(place.owner(), "admin", "office-2", Sends::office);
  ASSERT_FALSE(second.has_value());
  EXPECT_THAT(second.error().message, HasSubstr("'office' is the plant's office already"));
}

// The form that a store had before it knew an office.
TEST(OfficeInAFile, AStoreOfTheSecondFormHasNoneUntilItIsSaid) {
  const Place place{Kind::file};
  Station office{"office"};
  must(send(office.records->store(), *place.open()));
  records::testing::sql(place.folder() / "plant.db",
                        "DROP TABLE plant_office; DROP INDEX plant_master; PRAGMA user_version=2");
  EXPECT_EQ(must(place.open()->office()), "");
  EXPECT_FALSE(must(newer_master(*place.open(), 0)));
  must(place.open()->make_office("office"));
  EXPECT_EQ(must(newer_master(*place.open(), 0))->revision, 7);
  EXPECT_EQ(records::testing::sql(place.folder() / "plant.db", "PRAGMA user_version"),
            std::vector<std::string>{"3"});
}

template <class Is>
bool comes_true(Is is) {
  const auto end = std::chrono::steady_clock::now() + 30s;
  while (!is() && std::chrono::steady_clock::now() < end) std::this_thread::sleep_for(1ms);
  return is();
}

TEST_P(MasterTest, TheCourierOffersItUntilTheStationHasIt) {
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

INSTANTIATE_TEST_SUITE_P(Stores, MasterAmongOthersTest, ::testing::Values(Kind::file, Kind::folder),
                         [](const auto& kind) { return name_of(kind.param); });
INSTANTIATE_TEST_SUITE_P(Stores, MasterTest,
                         ::testing::Values(Kind::file, Kind::folder, Kind::server),
                         [](const auto& kind) { return name_of(kind.param); });

}  // namespace
}  // namespace lastlook::sync
