// SPDX-License-Identifier: Apache-2.0
// What every driver promises, and that they promise the same.
#include "kiosk/records/store.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <pqxx/pqxx>
#include <sstream>

#include "kiosk/records/audit.h"
#include "kiosk/records/replay.h"
#include "kiosk/records/sql.h"
#include "kiosk/records/tables.h"
#include "tests/kiosk/records/drivers/stores.h"
#include "tests/kiosk/records/rich_journal.h"

namespace lastlook::records {
namespace {

using testing::Driver;
using ::testing::ElementsAre;
using testing::Home;
using ::testing::IsEmpty;
using testing::must;

using Lines = std::vector<std::string>;

Lines dump_of(Store& store) {
  std::ostringstream out;
  must(dump(store, out));
  Lines lines;
  std::istringstream in(out.str());
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

class EveryDriver : public ::testing::TestWithParam<Driver> {
 protected:
  Home home{GetParam()};
  std::unique_ptr<Store> store = home.open(Access::create);
  // Puts rows as one transaction.
  template <class... Rows>
  void keep(const Rows&... rows) {
    must(store->begin());
    (must(put(*store, rows)), ...);
    must(store->commit());
  }
};

TEST_P(EveryDriver, FindsWhatWasPutUnderItsKey) {
  const Table& table = table_of<UnitLookRow>();
  keep(UnitLookRow{"1", "k-1"}, UnitRow{"1", true});
  EXPECT_TRUE(must(find<UnitRow>(*store, {"1"}))->disputed);
  keep(UnitRow{"1", false});
  EXPECT_FALSE(must(find<UnitRow>(*store, {"1"}))->disputed);
  keep(UnitLookRow{"1", "k-1"});
  EXPECT_EQ(must(rows<UnitLookRow>(*store, {"1"})).size(), 1U) << "a row that is all key";
  EXPECT_EQ(must(store->find(table, {"1", "k-2"})), std::nullopt);
}

TEST_P(EveryDriver, GivesValuesBackAsTheyWere) {
  FindingRow finding;
  finding.look = "k-1";
  finding.finding = "f";
  finding.note = "Kratzer, 2 µm; 'quoted' \"twice\" \\ \n and a tab\t";
  finding.place_x = 0.1;
  finding.found_us = 9'007'199'254'740'993;  // no double holds it
  OpinionRow opinion;
  opinion.look = "k-1";
  opinion.component = "lid";
  opinion.score = 1.0 / 3.0;
  opinion.reason_value = std::numeric_limits<double>::quiet_NaN();
  opinion.x = 1e-300;
  keep(finding, opinion);
  const auto read = must(find<FindingRow>(*store, {"k-1", "f"}));
  EXPECT_EQ(read->note, finding.note);
  EXPECT_EQ(read->place_x, 0.1);
  EXPECT_EQ(read->place_y, std::nullopt);
  EXPECT_EQ(read->found_us, finding.found_us);
  const auto seen = must(find<OpinionRow>(*store, {"k-1", "lid"}));
  EXPECT_EQ(seen->score, 1.0 / 3.0);
  EXPECT_EQ(seen->x, 1e-300);
  EXPECT_TRUE(std::isnan(seen->reason_value));
}

TEST_P(EveryDriver, GivesRowsInTheOrderOfTheirBytes) {
  for (const char* look : {"b", "B", "a", "_", "A", "ä", "-", "a b", "a-c", ""})
    keep(UnitLookRow{"1", look}, UnitLookRow{"11", look});
  Lines looks;
  for (const auto& row : must(rows<UnitLookRow>(*store, {"1"}))) looks.push_back(row.look);
  EXPECT_THAT(looks, ElementsAre("", "-", "A", "B", "_", "a", "a b", "a-c", "b", "ä"));
  int seen = 0;
  must(store->rows(table_of<UnitLookRow>(), {}, [&](const Row&) { return ++seen < 3; }));
  EXPECT_EQ(seen, 3) << "it stops when it is told to";
}

TEST_P(EveryDriver, ErasesOneRowAndClearsATable) {
  keep(UnitLookRow{"1", "k-1"}, UnitLookRow{"1", "k-2"}, UnitRow{"1", false});
  must(erase<UnitLookRow>(*store, {"1", "k-1"}));
  EXPECT_EQ(must(rows<UnitLookRow>(*store, {})).size(), 1U);
  must(store->begin());
  must(store->clear(table_of<UnitLookRow>()));
  must(store->commit());
  EXPECT_THAT(must(rows<UnitLookRow>(*store, {})), IsEmpty());
  EXPECT_EQ(must(rows<UnitRow>(*store, {})).size(), 1U);
}

TEST_P(EveryDriver, ShowsOthersATransactionWhenItIsWhole) {
  keep(UnitRow{"1", false});
  must(store->begin());
  must(put(*store, UnitRow{"2", false}));
  must(put(*store, CountLookRow{"2026-11-25", "early", 24, "LL-1", "CP-210"}));
  EXPECT_TRUE(must(find<UnitRow>(*store, {"2"}))) << "the writer itself sees it";
  EXPECT_EQ(must(rows<UnitRow>(*home.open(Access::read), {})).size(), 1U);
  store->rollback();
  EXPECT_EQ(must(rows<UnitRow>(*store, {})).size(), 1U);
  EXPECT_THAT(must(rows<CountLookRow>(*store, {})), IsEmpty());
  keep(UnitRow{"3", false}, CountLookRow{"2026-11-25", "early", 24, "LL-1", "CP-210"});
  EXPECT_EQ(must(rows<UnitRow>(*home.open(Access::read), {})).size(), 2U);
  EXPECT_EQ(must(rows<CountLookRow>(*home.open(Access::read), {})).size(), 1U);
}

TEST_P(EveryDriver, AReaderWritesNothing) {
  const auto reader = home.open(Access::read);
  EXPECT_FALSE(put(*reader, UnitRow{"1", false}));
  EXPECT_THAT(must(rows<UnitRow>(*home.open(Access::read), {})), IsEmpty());
}

TEST_P(EveryDriver, SaysThatThereIsNoSuchQuery) {
  EXPECT_EQ(store->query("no_such", {}, [](const Row&) {}).error().category, Category::not_found);
}

INSTANTIATE_TEST_SUITE_P(Drivers, EveryDriver,
                         ::testing::Values(Driver::sqlite, Driver::postgres,
                                           Driver::postgres_in_hand),
                         [](const auto& it) { return testing::name_of(it.param); });

// Entries are a station's: only its file keeps them.
TEST(JournalStore, KeepsEntriesByTheirBytesAndOnce) {
  const testing::TempFolder folder;
  const auto store = must(SqliteStore::open(folder.path() / "journal", Access::create));
  testing::Station station;
  testing::RichJournal(station, 5).units(3);
  const std::string journal = station.records->journal();
  std::vector<Entry> all;
  must(station.records->store().entries(journal, 1, [&](const Entry& entry) {
    all.push_back(entry);
    return true;
  }));
  must(store->begin());
  for (const Entry& entry : all) must(store->append(entry));
  must(store->commit());
  EXPECT_THAT(must(store->journals()), ElementsAre(journal));
  EXPECT_EQ(hash_of(*must(store->entry(journal, 7))), all[6].hash);
  EXPECT_EQ(must(store->last_entry(journal))->seq, std::ssize(all));
  EXPECT_EQ(must(store->entry(journal, std::ssize(all) + 1)), std::nullopt);
  EXPECT_EQ(must(store->last_entry("none")), std::nullopt);
  std::int64_t next = 4;
  must(store->entries(journal, 4, [&](const Entry& entry) {
    EXPECT_EQ(entry.seq, next++);
    EXPECT_EQ(must(store->entry(journal, entry.seq))->body, entry.body) << "asked within";
    return true;
  }));
  EXPECT_EQ(next, std::ssize(all) + 1);
  EXPECT_EQ(store->append(all[6]).error().category, Category::refused);
}

// The same journals projected into both, and into one whose rows are held in hand.
class BothDrivers : public ::testing::Test {
 protected:
  BothDrivers() {
    must(station.records->begin_bulk());
    testing::RichJournal(station, 20'261'125).units(40);
    must(station.records->end_bulk());
    for (const auto& store : {&first, &second, &third}) {
      must((*store)->begin());
      must(station.records->store().entries(station.records->journal(), 1, [&](const Entry& one) {
        must(project_again(**store, one));
        return true;
      }));
      must((*store)->commit());
    }
  }
  static Lines answer(Store& store, std::string_view query, const Row& parameters) {
    Lines lines;
    const Table as{query, {}, 0, {}};
    must(
        store.query(query, parameters, [&](const Row& row) { lines.push_back(line_of(as, row)); }));
    return lines;
  }
  testing::Station station;
  Home sqlite{Driver::sqlite}, postgres{Driver::postgres}, in_hand{Driver::postgres_in_hand};
  std::unique_ptr<Store> first = sqlite.open(Access::create);
  std::unique_ptr<Store> second = postgres.open(Access::create);
  std::unique_ptr<Store> third = in_hand.open(Access::create);
};

TEST_F(BothDrivers, MakeTheSameRowsOfOneJournal) {
  const Lines rows = dump_of(*first);
  EXPECT_GT(rows.size(), 500U);
  EXPECT_EQ(dump_of(*second), rows);
  EXPECT_EQ(dump_of(*third), rows);
}

TEST_F(BothDrivers, AnswerEveryQueryWithTheSameRowsInTheSameOrder) {
  const std::vector<Row> periods = {{"2026-11-25", "2026-11-26", "", "", ""},
                                    {"", "9999-12-31", "early", "LL-1", "CP-210"},
                                    {"2027-01-01", "9999-12-31", "", "", ""}};
  const std::int64_t long_after = 9'000'000'000'000'000;
  const std::map<std::string, std::vector<Row>, std::less<>> asked = {
      {"accepted_between", {{"LL-1", "CP-210", "m-1", std::int64_t{0}, long_after}}},
      {"answers_and_opinions", periods},
      {"claims", periods},
      {"concessions_after", {{std::int64_t{0}}, {long_after}}},
      {"defect_cells", periods},
      {"defect_counts", periods},
      {"finding_places", periods},
      {"finding_units", periods},
      {"handover_notes",
       {{"2026-11-25", "2026-11-26", "", ""}, {"", "9999-12-31", "early", "LL-1"}}},
      {"help_calls", {{"2026-11-25", "2026-11-26", "", ""}, {"", "9999-12-31", "early", "LL-1"}}},
      {"help_not_come", {{"LL-1"}, {"none"}}},
      {"judged_parts", periods},
      {"last_held_proof", {{"LL-1", "CP-210", "", long_after}}},
      {"last_looks", {{"LL-1", "2026-11-25", std::int64_t{40}}, {"none", "", std::int64_t{5}}}},
      {"look_counts", periods},
      {"looks_by_shift", periods},
      {"looks_with_opinion", periods},
      {"newest_approval", {{}}},
      {"opinion_counts", periods},
      {"part_scores", {{"99999-00001"}, {"none"}}},
      {"reactions_open", {{""}, {"LL-1"}}},
      {"reactions_since", {{"LL-1", std::int64_t{0}}, {"", long_after}}},
      {"second_looks_done", periods},
      {"second_looks_drawn", periods},
      {"second_looks_waiting", {{}}},
      {"shift_conditions", periods},
      {"studies_going_on", {{}}},
      {"ticket_used", {{"H-k-3"}, {""}}},
      {"viewing_checks",
       {{"2026-11-25", "2026-11-26", "", ""}, {"", "9999-12-31", "early", "LL-1"}}},
      {"units_with_lot", {{"L-1", ""}, {"L-3", "seal ring"}, {"none", ""}}},
      {"waiting_units", {{""}, {"LL-1"}}},
  };
  int rows = 0;
  for (const SqlText& query : named_queries()) {
    SCOPED_TRACE(query.name);
    ASSERT_TRUE(asked.contains(query.name)) << "it is asked here too";
    for (const Row& parameters : asked.find(query.name)->second) {
      const Lines answered = answer(*first, query.name, parameters);
      EXPECT_EQ(answer(*second, query.name, parameters), answered);
      rows += static_cast<int>(answered.size());
    }
  }
  EXPECT_GT(rows, 100);
}

TEST_F(BothDrivers, CutWhatGrowsWithTheCalendarIntoMonths) {
  auto& cluster = sync::testing::Cluster::running();
  const auto count = [&](const std::string& part) {
    return cluster.sql(postgres.database(), "SELECT count(*) FROM lastlook_rows." + part);
  };
  EXPECT_EQ(count("count_look_2026_11"), count("count_look"));
  EXPECT_NE(count("count_look"), "0\n");
  EXPECT_EQ(count("count_look_no_date"), "0\n");
}

void run(const std::string& address, const std::string& sql) {
  pqxx::connection server(address);
  pqxx::work work(server);
  work.exec(sql);
  work.commit();
}

TEST(PostgresStore, RowsOfAnotherFormAreMadeAnewByTheirOwnerAndRefusedToReaders) {
  const Home home(Driver::postgres);
  EXPECT_EQ(PostgresStore::open(home.address(), Access::read).error().category,
            Category::not_found);
  must(put(*home.open(Access::create), UnitRow{"1", false}));
  must(put(*home.open(Access::create), UnitRow{"2", false}));
  EXPECT_EQ(must(rows<UnitRow>(*home.open(Access::read), {})).size(), 2U);
  run(home.address(), "UPDATE lastlook_rows.form SET tables = 'older'");
  const auto reader = PostgresStore::open(home.address(), Access::read);
  ASSERT_FALSE(reader);
  EXPECT_THAT(reader.error().message, ::testing::HasSubstr("'lastlook plant run'"));
  EXPECT_THAT(must(rows<UnitRow>(*home.open(Access::create), {})), IsEmpty());
  // Also where the tables are the same and an older program meant something else by them.
  must(put(*home.open(Access::create), UnitRow{"3", false}));
  const auto form = std::ssize(sqlite_migrations());
  run(home.address(), fmt::format("UPDATE lastlook_rows.form SET tables = "
                                  "replace(tables, 'form {}', 'form {}')",
                                  form, form - 1));
  EXPECT_EQ(PostgresStore::open(home.address(), Access::read).error().category, Category::refused);
  EXPECT_THAT(must(rows<UnitRow>(*home.open(Access::create), {})), IsEmpty());
}

TEST(PostgresStore, AReadersLoginReadsRowsAndNothingElse) {
  const Home home(Driver::postgres);
  auto& cluster = sync::testing::Cluster::running();
  const std::string address = cluster.address("ll2", home.database());
  must(put(*home.open(Access::create), UnitRow{"1", false}));
  EXPECT_EQ(PostgresStore::open(address, Access::read).error().category, Category::refused);
  EXPECT_EQ(admit_reader(home.address(), "nobody").error().category, Category::not_found);
  must(admit_reader(home.address(), "ll2"));
  EXPECT_EQ(must(rows<UnitRow>(*must(PostgresStore::open(address, Access::read)), {})).size(), 1U);
  for (const char* change :
       {"INSERT INTO lastlook_rows.unit VALUES ('2', 0)",
        "UPDATE lastlook_rows.unit SET disputed = 1", "DELETE FROM lastlook_rows.unit",
        "TRUNCATE lastlook_rows.unit", "DROP TABLE lastlook_rows.unit",
        "CREATE TABLE lastlook_rows.mine (one int)", "SELECT * FROM lastlook_plant.entry",
        "SELECT * FROM lastlook_plant.take()"})
    EXPECT_THROW(run(address, change), pqxx::sql_error) << change;
  // A login that reads still does after the tables were made anew.
  run(home.address(), "UPDATE lastlook_rows.form SET tables = 'older'");
  home.open(Access::create);
  EXPECT_THAT(must(rows<UnitRow>(*must(PostgresStore::open(address, Access::read)), {})),
              IsEmpty());
}

}  // namespace
}  // namespace lastlook::records
