// SPDX-License-Identifier: Apache-2.0
#include "kiosk/sync/project_plant.h"

#include <fmt/format.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <mutex>
#include <random>
#include <set>
#include <sstream>
#include <thread>

#include "kiosk/records/audit.h"
#include "kiosk/records/backup.h"
#include "kiosk/records/shift_queries.h"
#include "kiosk/records/sqlite_store.h"
#include "kiosk/records/tables.h"
#include "kiosk/records/unit_queries.h"
#include "kiosk/sync/send.h"
#include "tests/kiosk/records/rich_journal.h"
#include "tests/kiosk/sync/stores.h"

namespace lastlook::sync {
namespace {

using records::Access;
using records::Entry;
using records::testing::RichJournal;
using records::testing::Station;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::SizeIs;

std::string dump_of(records::Store& rows) {
  std::ostringstream out;
  must(records::dump(rows, out));
  return out.str();
}

// The rows of a store, made by its owner.
std::string projected(const Place& place) {
  const auto rows = must(open_rows(place.owner_address(), Access::create));
  const auto done = must(project_new(*place.open_as_owner(), *rows));
  EXPECT_THAT(done.stopped, IsEmpty()) << done.stopped.front().why;
  return dump_of(*rows);
}

class ProjectPlant : public ::testing::TestWithParam<Kind> {
 protected:
  Place place{GetParam()};
};

// A station's journal in a file, with its rows beside it.
class FileRows : public ::testing::Test {
 protected:
  FileRows() {
    RichJournal(station, 14).units(6);
    must(send(station.records->store(), *place.open()));
  }
  Station station;
  Place place{Kind::file};
  const std::filesystem::path rows = place.folder() / "plant.db.rows";
};

TEST_P(ProjectPlant, ARowOfOneStationIsAsItIsAtTheStation) {
  Station station;
  RichJournal(station, 11).units(20);
  must(send(station.records->store(), *place.open()));
  EXPECT_EQ(projected(place), dump_of(station.records->store()));
}

TEST_P(ProjectPlant, GoesOnWithWhatArrivesAndRebuildsTheSame) {
  Station station;
  RichJournal journal(station, 12);
  for (int i = 0; i < 4; ++i) {
    journal.units(4);
    must(send(station.records->store(), *place.open()));
    EXPECT_EQ(projected(place), dump_of(station.records->store()));
  }
  const std::string before = projected(place);
  const auto rows = must(open_rows(place.owner_address(), Access::create));
  must(rows->begin());
  must(rows->clear(records::table_of<records::LookRow>()));
  must(rows->commit());
  EXPECT_NE(dump_of(*rows), before);
  must(project_all(*place.open_as_owner(), *rows));
  EXPECT_EQ(dump_of(*rows), before);
}

TEST_F(FileRows, OfAnotherFormAreThrownAwayAndMadeAgain) {
  const std::string before = projected(place);
  for (const int form : {4, 99}) {
    records::testing::put_back_to_form(rows, std::min(form, 4));
    records::testing::sql(rows, "PRAGMA user_version=" + std::to_string(form));
    const auto reader = open_rows(place.address(), Access::read);
    ASSERT_FALSE(reader);
    EXPECT_EQ(reader.error().category, Category::refused);
    EXPECT_THAT(reader.error().message, HasSubstr("'lastlook plant run'"));
    EXPECT_EQ(projected(place), before);
    EXPECT_EQ(dump_of(*must(open_rows(place.address(), Access::read))), before);
  }
}

TEST_F(FileRows, AreWrittenByOneProgramAtATime) {
  auto writer = must(open_rows(place.address(), Access::create));
  must(project_new(*place.open(), *writer));
  const auto second = open_rows(place.address(), Access::create);
  ASSERT_FALSE(second);
  EXPECT_EQ(second.error().category, Category::busy);
  EXPECT_THAT(second.error().message, HasSubstr(std::to_string(getpid())));
  EXPECT_THAT(must(records::as_of(*must(open_rows(place.address(), Access::read)), "")), SizeIs(1));
  writer.reset();
  must(open_rows(place.address(), Access::create));
}

TEST_P(ProjectPlant, AreMadeByWhoeverIsFirst) {
  // Several programs find that nothing was made yet.
  for (int round = 0; round < 5; ++round) {
    const Place fresh(GetParam());
    fresh.open_as_owner();
    std::vector<std::thread> all;
    std::atomic<int> opened = 0;
    std::mutex one_at_a_time;
    std::set<std::string> trouble;
    for (int i = 0; i < 4; ++i)
      all.emplace_back([&] {
        const auto rows = open_rows(fresh.owner_address(), Access::create);
        const std::lock_guard lock(one_at_a_time);
        if (!rows && rows.error().category != Category::busy) trouble.insert(rows.error().message);
        opened += rows.has_value();
      });
    for (std::thread& one : all) one.join();
    EXPECT_THAT(trouble, IsEmpty()) << *trouble.begin();
    EXPECT_GT(opened, 0);
  }
}

TEST_P(ProjectPlant, KilledAtAnyMomentItGoesOnExactlyOnce) {
  Station station;
  RichJournal(station, 13).units(25);
  must(send(station.records->store(), *place.open()));
  std::mt19937 random(13);
  int killed = 0;
  while (true) {
    const pid_t child = fork();
    if (child == 0) {
      const auto plant = open_plant_store(place.owner_address(), false);
      const auto rows = open_rows(place.owner_address(), Access::create);
      const bool done = plant && rows && project_new(**plant, **rows, {}, 20);
      _exit(done ? 0 : 1);
    }
    std::this_thread::sleep_for(std::chrono::milliseconds(20 + random() % 80));
    if (killed < 12) kill(child, SIGKILL);
    int status = 0;
    waitpid(child, &status, 0);
    if (WIFEXITED(status) && WEXITSTATUS(status) == 0) break;
    // One that is refused finds the one that was killed before it not gone yet.
    ++killed;
    ASSERT_LT(killed, 200);
  }
  EXPECT_EQ(projected(place), dump_of(station.records->store()));
}

INSTANTIATE_TEST_SUITE_P(Stores, ProjectPlant, ::testing::Values(Kind::file, Kind::server),
                         [](const auto& it) { return name_of(it.param); });

TEST(ServerRows, DataThatTheServerCannotHoldStopTheirOwnJournal) {
  const Place place(Kind::server);
  Station one("LL-1"), two("LL-2");
  // Longer than a row of PostgreSQL's index, and of no pattern that could be packed.
  std::string serial;
  std::mt19937 random(15);
  while (serial.size() < 9'000) serial += static_cast<char>('0' + random() % 75);
  one.look("k-1", serial, 1, domain::Disposition::accept);
  two.look("k-2", "2", 1, domain::Disposition::accept);
  const auto plant = place.open_as_owner();
  for (Station* station : {&one, &two}) must(send(station->records->store(), *plant));
  const auto rows = must(open_rows(place.owner_address(), Access::create));
  for (int i = 0; i < 2; ++i) {
    const auto done = must(project_new(*plant, *rows));
    ASSERT_THAT(done.stopped, SizeIs(1));
    EXPECT_EQ(done.stopped[0].station, "LL-1");
    EXPECT_EQ(done.stopped[0].seq, 3);
    EXPECT_THAT(done.stopped[0].why, HasSubstr("index row"));
    const auto states = must(records::as_of(*rows, ""));
    ASSERT_THAT(states, SizeIs(2));
    EXPECT_EQ(states[1].seq, 4) << "the other goes on";
  }
}

// Several stations' entries in one SQLite file of rows, in whatever order.
class Stations : public ::testing::Test {
 protected:
  std::unique_ptr<records::SqliteStore> empty() {
    const auto file = folder.path() / fmt::format("rows-{}", ++files);
    return must(records::SqliteStore::open(file, Access::create));
  }
  // Takes the stations' entries in pieces, in an order from a seed, and projects after each.
  std::string dump_in_some_order(const std::vector<Station*>& stations, unsigned seed) {
    const auto plant = must(open_plant_store(
        fmt::format("sqlite:{}", (folder.path() / fmt::format("plant-{}", ++files)).string()),
        true));
    const auto rows = empty();
    std::mt19937 random(seed);
    std::vector<std::vector<Entry>> left;
    for (Station* station : stations) left.push_back(entries_of(*station->records));
    while (!left.empty()) {
      auto& one = left[random() % left.size()];
      const auto n = std::min<std::size_t>(one.size(), 1 + random() % 40);
      must(plant->take(std::span(one).first(n)));
      one.erase(one.begin(), one.begin() + static_cast<std::ptrdiff_t>(n));
      std::erase_if(left, [](const auto& entries) { return entries.empty(); });
      const auto done = must(project_new(*plant, *rows));
      EXPECT_THAT(done.stopped, IsEmpty()) << done.stopped.front().why;
    }
    const std::string dump = dump_of(*rows);
    must(project_all(*plant, *rows));
    EXPECT_EQ(dump_of(*rows), dump);
    return dump;
  }
  std::vector<std::string> sql(records::SqliteStore& rows, const std::string& text) {
    return records::testing::sql(rows.connection().file(), text);
  }
  records::testing::TempFolder folder;
  int files = 0;
};

TEST_F(Stations, WhateverOrderTheirEntriesComeInTheRowsAreTheSame) {
  // The same serials at all three, so every unit is one that was at several stations.
  Station one("LL-1"), two("LL-2"), three("LL-3");
  two.clock.pass(1'800);
  three.clock.pass(700);
  RichJournal(one, 1, "a").units(12);
  RichJournal(two, 2, "b").units(12);
  RichJournal(three, 3, "c").units(12);
  one.happen(domain::SerialDisputed{"10003", "", ""});
  const std::string dump = dump_in_some_order({&one, &two, &three}, 1);
  EXPECT_GT(std::ranges::count(dump, '\n'), 500);
  for (unsigned seed = 2; seed < 8; ++seed)
    ASSERT_EQ(dump_in_some_order({&one, &two, &three}, seed), dump) << "seed " << seed;
}

TEST_F(Stations, DisputesAndLateSerialsSettleAlikeInWhateverOrderTheyCome) {
  // Second looks, disputes and tickets' serials of the same units at three stations, whose entries
  // come in small pieces.
  std::set<std::string> dumps;
  for (unsigned story = 1; story <= 4; ++story) {
    SCOPED_TRACE(fmt::format("story {}", story));
    Station one("LL-1"), two("LL-2"), three("LL-3");
    std::mt19937 random(story);
    std::vector<Station*> all = {&one, &two, &three};
    for (std::size_t i = 0; i < all.size(); ++i) {
      all[i]->clock.pass(static_cast<std::int64_t>(random() % 4'000));
      RichJournal journal(*all[i], 10 * story + static_cast<unsigned>(i),
                          std::string(1, static_cast<char>('a' + i)));
      for (int part = 0; part < 4; ++part) {
        journal.units(3);
        for (int n = 0; n < 2; ++n)
          all[i]->happen(domain::SerialDisputed{std::to_string(10'001 + random() % 12), "", ""});
      }
    }
    const std::string dump = dump_in_some_order(all, 1);
    for (unsigned seed = 2; seed < 8; ++seed)
      ASSERT_EQ(dump_in_some_order(all, seed), dump) << "seed " << seed;
    dumps.insert(dump);
  }
  EXPECT_THAT(dumps, SizeIs(4));
}

TEST_F(Stations, AUnitThatWasAtTwoStationsHasOneFirstLookAndOneHistory) {
  Station one("LL-1"), two("LL-2");
  two.clock.pass(3'600);
  one.look("k-1", "1", 1, domain::Disposition::rework, {{"seal", "missing"}});
  two.look("k-2", "1", 1, domain::Disposition::accept, {{"seal", "missing"}});
  for (const auto& order : {std::vector{&one, &two}, std::vector{&two, &one}}) {
    const auto plant = must(open_plant_store(
        "sqlite:" + (folder.path() / fmt::format("plant-{}", ++files)).string(), true));
    const auto rows = empty();
    for (Station* station : order) {
      must(send(station->records->store(), *plant));
      must(project_new(*plant, *rows));
    }
    EXPECT_THAT(sql(*rows, "SELECT look, number FROM look ORDER BY look"),
                ElementsAre("k-1|1", "k-2|2"));
    EXPECT_THAT(sql(*rows, "SELECT station, first_looks, first_pass, looks FROM count_look"),
                ElementsAre("LL-1|1|0|1", "LL-2|0|0|1"));
    EXPECT_THAT(sql(*rows, "SELECT station, findings, units FROM count_defect"),
                ElementsAre("LL-1|1|1"))
        << "seen again, it is the same finding";
    const auto words = must(records::newest_master(*rows));
    const auto unit = must(records::unit_record({*rows, words}, "1"));
    EXPECT_THAT(unit.looks, SizeIs(2));
  }
}

TEST_F(Stations, WhatTwoStationsNameAlikeStaysApart) {
  Station one("LL-1"), two("LL-2");
  for (Station* station : {&one, &two}) {
    const std::string look = station == &one ? "k-1" : "k-2";
    station->happen(domain::ConcessionGranted{"C-1", "design office", "CP-210", "lid", "missing", 5,
                                              9'000'000'000'000'000});
    station->open_under_ticket(look, "H-4K7Q");
    station->happen(domain::LookParked{look, domain::ParkReason::other, ""});
  }
  const auto plant = must(open_plant_store("sqlite:" + (folder.path() / "plant").string(), true));
  const auto rows = empty();
  for (Station* station : {&one, &two}) must(send(station->records->store(), *plant));
  EXPECT_THAT(must(project_new(*plant, *rows)).stopped, IsEmpty());
  EXPECT_THAT(sql(*rows, "SELECT station, number, used FROM concession"),
              ElementsAre("LL-1|C-1|0", "LL-2|C-1|0"));
  const auto words = must(records::newest_master(*rows));
  EXPECT_THAT(must(records::waiting_units({*rows, words})), SizeIs(2));
  EXPECT_EQ(must(records::waiting_units({*rows, words}, "LL-2")).at(0).look, "k-2");
}

TEST_F(Stations, AnEntryThatCannotBeProjectedStopsItsJournalAndNoOther) {
  Station one("LL-1"), two("LL-2");
  one.look("k-1", "1", 1, domain::Disposition::accept);
  one.look("k-3", "3", 1, domain::Disposition::accept);
  two.look("k-1", "2", 1, domain::Disposition::accept);  // an id that LL-1 used: no look of its own
  const auto plant = must(open_plant_store("sqlite:" + (folder.path() / "plant").string(), true));
  const auto rows = empty();
  for (Station* station : {&one, &two}) must(send(station->records->store(), *plant));
  for (int i = 0; i < 2; ++i) {
    const auto done = must(project_new(*plant, *rows));
    ASSERT_THAT(done.stopped, SizeIs(1));
    EXPECT_EQ(done.stopped[0].station, "LL-2");
    EXPECT_EQ(done.stopped[0].seq, 3);
    EXPECT_THAT(done.stopped[0].why, HasSubstr("there is a look k-1 already"));
    const auto states = must(records::as_of(*rows, ""));
    ASSERT_THAT(states, SizeIs(2));
    EXPECT_EQ(states[0].seq, 6);
    EXPECT_EQ(states[1].seq, 2);
    EXPECT_THAT(sql(*rows, "SELECT station, looks FROM count_look"), ElementsAre("LL-1|2"));
  }
  EXPECT_THAT(sql(*rows, "SELECT station, seq, entries FROM stopped"), ElementsAre("LL-2|3|2"));
  const std::string before = dump_of(*rows);
  EXPECT_THAT(must(project_all(*plant, *rows)).stopped, SizeIs(1));
  EXPECT_EQ(dump_of(*rows), before);
}

TEST_F(Stations, NobodyRatesInAnotherStationsStudy) {
  Station one("LL-1"), two("LL-2");
  domain::StudyPlanned plan;
  plan.study = "s-1";
  plan.items = {{"01", "", ""}, {"02", "", ""}};
  one.happen(plan);
  one.happen(domain::StudyRated{"s-1", "p-1", 1, "02", "conforming"});
  two.happen(plan);  // under an id that LL-1 used
  two.happen(domain::StudyRated{"s-1", "p-2", 1, "01", "conforming"});
  const auto plant = must(open_plant_store("sqlite:" + (folder.path() / "plant").string(), true));
  const auto rows = empty();
  for (Station* station : {&one, &two}) must(send(station->records->store(), *plant));
  const auto done = must(project_new(*plant, *rows));
  ASSERT_THAT(done.stopped, SizeIs(1));
  EXPECT_EQ(done.stopped[0].station, "LL-2");
  EXPECT_THAT(sql(*rows, "SELECT station, rated FROM study"), ElementsAre("LL-1|1"));
  EXPECT_THAT(sql(*rows, "SELECT person FROM study_rating"), ElementsAre("p-1"));
}

TEST_F(Stations, AJournalThatGoesOnAfterAStoppedOneWaitsAndIsNamed) {
  Station one("LL-1"), two("LL-2");
  one.look("k-1", "1", 1, domain::Disposition::accept);
  two.look("k-1", "2", 1, domain::Disposition::accept);
  must(records::backup(two.folder.path(), folder.path() / "backup"));
  must(records::restore(folder.path() / "backup", folder.path() / "again", two.clock));
  const auto plant = must(open_plant_store("sqlite:" + (folder.path() / "plant").string(), true));
  const auto rows = empty();
  must(send(one.records->store(), *plant));
  must(send(must(records::Records::open(folder.path() / "again"))->store(), *plant));
  const auto done = must(project_new(*plant, *rows));
  ASSERT_THAT(done.stopped, SizeIs(2));
  EXPECT_THAT(sql(*rows, "SELECT station, seq, entries FROM stopped ORDER BY entries"),
              ElementsAre("LL-2|1|1", "LL-2|3|2"));
  EXPECT_THAT(sql(*rows, "SELECT why FROM stopped WHERE seq = 1"),
              ElementsAre(HasSubstr("it goes on after entry 4 of journal ")));
}

TEST_F(Stations, WhatTheStoreDoesNotHaveAnyMoreGoesFromTheRows) {
  Station one("LL-1"), two("LL-2");
  one.look("k-1", "1", 1, domain::Disposition::accept);
  two.look("k-2", "1", 1, domain::Disposition::accept);
  const auto both = must(open_plant_store("sqlite:" + (folder.path() / "both").string(), true));
  const auto other = must(open_plant_store("sqlite:" + (folder.path() / "other").string(), true));
  for (Station* station : {&one, &two}) must(send(station->records->store(), *both));
  must(send(two.records->store(), *other));
  const auto rows = empty(), fresh = empty();
  must(project_new(*both, *rows));
  must(project_new(*other, *rows));  // another file was put in the store's place
  must(project_new(*other, *fresh));
  EXPECT_EQ(dump_of(*rows), dump_of(*fresh));
  EXPECT_THAT(sql(*rows, "SELECT station, first_looks FROM count_look"), ElementsAre("LL-2|1"));
}

TEST_F(Stations, WhatAStationLostBeforeARestoreStaysOut) {
  Station station;
  station.look("k-1", "1", 1, domain::Disposition::accept);
  station.open_look("k-2", "2", 1);
  must(records::backup(station.folder.path(), folder.path() / "backup"));
  station.happen(domain::LookClosed{"k-2", domain::Disposition::accept, "", ""});
  const auto plant = must(open_plant_store("sqlite:" + (folder.path() / "plant").string(), true));
  const auto rows = empty();
  must(send(station.records->store(), *plant));
  must(project_new(*plant, *rows));
  EXPECT_THAT(sql(*rows, "SELECT looks FROM count_look"), ElementsAre("2"));
  must(records::restore(folder.path() / "backup", folder.path() / "again", station.clock));
  const auto again = must(records::Records::open(folder.path() / "again"));
  const domain::Happening scrapped = domain::LookClosed{"k-2", domain::Disposition::scrap, "", ""};
  must(again->append({&scrapped, 1}, "p-1", station.clock.read()));
  must(send(again->store(), *plant));
  EXPECT_THAT(must(project_new(*plant, *rows)).stopped, IsEmpty());
  EXPECT_EQ(dump_of(*rows), dump_of(again->store()));
}

}  // namespace
}  // namespace lastlook::sync
