// SPDX-License-Identifier: Apache-2.0
// What every kind of store holds to: one suite, run on each.
#include "kiosk/sync/plant_store.h"

#include <mutex>
#include <thread>

#include "kiosk/records/backup.h"
#include "kiosk/sync/check_plant.h"
#include "kiosk/sync/send.h"
#include "tests/kiosk/sync/stores.h"

namespace lastlook::sync {
namespace {

using records::Entry;
using records::testing::Station;
using records::testing::TempFolder;
using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::SizeIs;

class PlantStoreTest : public ::testing::TestWithParam<Kind> {
 protected:
  PlantStoreTest() : place(GetParam()), plant(place.open()) {
    station.look("k-1", "1", 1, domain::Disposition::accept);
    station.look("k-2", "2", 1, domain::Disposition::rework, {{"lid", "missing"}});
  }
  // As the owner reads it back, byte for byte.
  std::vector<Entry> stored(const std::string& journal) const {
    std::vector<Entry> all;
    must(place.open_as_owner()->entries(journal, 1, [&](const Entry& entry) {
      all.push_back(entry);
      return true;
    }));
    return all;
  }
  std::string error_of(std::span<const Entry> entries) {
    const auto taken = plant->take(entries);
    EXPECT_FALSE(taken.has_value());
    EXPECT_EQ(taken.error().category, Category::refused);
    return taken.error().message;
  }
  const std::string& journal() const { return station.records->journal(); }

  Place place;
  Station station;
  std::unique_ptr<PlantStore> plant;
};

TEST_P(PlantStoreTest, TakesAJournalByteForByteAndSaysItsHead) {
  const std::vector<Entry> entries = entries_of(*station.records);
  EXPECT_EQ(must(plant->head(journal())), Head{});
  const Head head = must(plant->take(entries));
  EXPECT_EQ(head, (Head{entries.back().seq, entries.back().hash}));
  EXPECT_EQ(must(plant->head(journal())), head);
  const std::vector<Entry> back = stored(journal());
  ASSERT_THAT(back, SizeIs(entries.size()));
  for (std::size_t i = 0; i < back.size(); ++i) {
    EXPECT_EQ(back[i].body, entries[i].body);
    EXPECT_EQ(records::hash_of(back[i]), entries[i].hash);
  }
}

TEST_P(PlantStoreTest, WhatIsSentAgainIsComparedAndNotAdded) {
  const std::vector<Entry> entries = entries_of(*station.records);
  must(plant->take(std::span(entries).first(3)));
  const Head head = must(plant->take(entries));  // the first three once more, and the rest
  EXPECT_EQ(head.seq, std::ssize(entries));
  EXPECT_EQ(must(plant->take(std::span(entries).first(2))), head);
  EXPECT_THAT(stored(journal()), SizeIs(entries.size()));
}

TEST_P(PlantStoreTest, RefusesAGap) {
  const std::vector<Entry> entries = entries_of(*station.records);
  must(plant->take(std::span(entries).first(2)));
  EXPECT_THAT(error_of(std::span(entries).subspan(3)), HasSubstr("entry 4 cannot follow entry 2"));
  EXPECT_EQ(must(plant->head(journal())).seq, 2);
}

TEST_P(PlantStoreTest, TakesABatchWholeOrNotAtAll) {
  std::vector<Entry> entries = entries_of(*station.records);
  entries[3].body += ' ';
  EXPECT_THAT(error_of(entries), HasSubstr("entry 4: its hash is not that of its bytes"));
  EXPECT_EQ(must(plant->head(journal())).seq, 0);
  EXPECT_THAT(stored(journal()), SizeIs(0));
}

TEST_P(PlantStoreTest, NamesAForkWithBothFingerprints) {
  const std::vector<Entry> entries = entries_of(*station.records);
  must(plant->take(entries));
  Entry other = entries.back();
  other.actor = "p-2";
  other.hash = hash_of(other);
  EXPECT_THAT(
      error_of({&other, 1}),
      AllOf(HasSubstr("has forked at entry " + std::to_string(other.seq)),
            HasSubstr(fingerprint(entries.back().hash)), HasSubstr(fingerprint(other.hash))));
  Entry after = entries.back();
  after.seq += 1;
  after.previous = other.hash;
  after.hash = hash_of(after);
  EXPECT_THAT(error_of({&after, 1}), AllOf(HasSubstr(fingerprint(entries.back().hash)),
                                           HasSubstr(fingerprint(other.hash))));
}

TEST_P(PlantStoreTest, RefusesASecondStationOfTheSameName) {
  must(plant->take(entries_of(*station.records)));
  Station second;
  const std::vector<Entry> entries = entries_of(*second.records);
  EXPECT_THAT(error_of(entries),
              AllOf(HasSubstr("two stations are called LL-1"), HasSubstr(journal().substr(0, 12)),
                    HasSubstr(second.records->journal().substr(0, 12))));
  EXPECT_THAT(must(place.open_as_owner()->journals()), SizeIs(1));
}

TEST_P(PlantStoreTest, FollowsARestoreAndRefusesTheOldCopyAndASecondRestore) {
  TempFolder elsewhere;
  must(records::backup(station.folder.path(), elsewhere.path() / "copy"));
  must(send(station.records->store(), *plant));
  for (const char* name : {"first", "second"})
    must(records::restore(elsewhere.path() / "copy", elsewhere.path() / name, station.clock));
  const auto restored = must(records::Records::open(elsewhere.path() / "first"));
  must(send(restored->store(), *plant));
  const auto known = must(place.open_as_owner()->journals());
  ASSERT_THAT(known, SizeIs(2));
  EXPECT_EQ(known[1].after_journal, journal());

  station.look("k-3", "3", 1, domain::Disposition::accept);
  const auto old = send(station.records->store(), *plant);
  ASSERT_FALSE(old.has_value());
  EXPECT_THAT(old.error().message, HasSubstr("took over after a restore"));

  const auto again = must(records::Records::open(elsewhere.path() / "second"));
  const auto rival = send(again->store(), *plant);
  ASSERT_FALSE(rival.has_value());
  EXPECT_THAT(rival.error().message, HasSubstr("two stations are called LL-1"));
  EXPECT_TRUE(must(check(*place.open_as_owner(), {})).whole());
}

TEST_P(PlantStoreTest, ARestoreFromAnOldBackupGoesOnAndNothingIsLost) {
  TempFolder elsewhere;
  must(records::backup(station.folder.path(), elsewhere.path() / "copy"));
  station.look("k-3", "3", 1, domain::Disposition::accept);  // after the backup, and sent
  const std::int64_t all = must(send(station.records->store(), *plant)).entries;
  must(records::restore(elsewhere.path() / "copy", elsewhere.path() / "again", station.clock));
  const auto restored = must(records::Records::open(elsewhere.path() / "again"));
  EXPECT_EQ(must(send(restored->store(), *plant)).entries, 1);  // the start of its journal
  EXPECT_THAT(stored(journal()), SizeIs(static_cast<std::size_t>(all)));
}

TEST_P(PlantStoreTest, RefusesAnOlderCopyThatGoesOnInTheSameJournal) {
  TempFolder elsewhere;
  std::filesystem::copy(station.folder.path(), elsewhere.path() / "copy",
                        std::filesystem::copy_options::recursive);
  station.look("k-3", "3", 1, domain::Disposition::accept);
  must(send(station.records->store(), *plant));
  const auto copy = must(records::Records::open(elsewhere.path() / "copy"));
  const auto sent = send(copy->store(), *plant);
  ASSERT_FALSE(sent.has_value());
  EXPECT_THAT(sent.error().message, HasSubstr("this is an older copy of the station"));
}

TEST_P(PlantStoreTest, SendsOnlyWhatTheStoreLacks) {
  const Sent first = must(send(station.records->store(), *plant));
  EXPECT_EQ(first.looks, 2);
  EXPECT_EQ(must(waiting(station.records->store(), *plant)).entries, 0);
  station.look("k-3", "3", 1, domain::Disposition::accept);
  EXPECT_EQ(must(waiting(station.records->store(), *plant)).looks, 1);
  const Sent second = must(send(station.records->store(), *plant));
  EXPECT_EQ(second.entries, 2);
  EXPECT_EQ(second.journals.back().acknowledged.seq, first.entries + 2);
}

TEST_P(PlantStoreTest, OneStationIsTheOfficeAndAnotherOneMayBecomeIt) {
  EXPECT_EQ(must(place.open_as_owner()->office()), "");
  place.make_office("the office's \"desk\" / 1");
  EXPECT_EQ(must(place.open_as_owner()->office()), "the office's \"desk\" / 1");
  must(place.open_as_owner()->make_office("LL-1"));
  EXPECT_EQ(must(place.open_as_owner()->office()), "LL-1");
}

TEST(FileStore, IsMadeByWhoeverIsFirst) {
  for (int round = 0; round < 10; ++round) {
    const Place fresh(Kind::file);
    std::vector<std::thread> all;
    std::mutex one_at_a_time;
    std::vector<std::string> trouble;
    for (int i = 0; i < 4; ++i)
      all.emplace_back([&] {
        const auto plant = open_plant_store(fresh.address(), true);
        const std::lock_guard lock(one_at_a_time);
        if (!plant) trouble.push_back(plant.error().message);
      });
    for (std::thread& one : all) one.join();
    EXPECT_THAT(trouble, SizeIs(0)) << trouble.front();
  }
}

INSTANTIATE_TEST_SUITE_P(Stores, PlantStoreTest,
                         ::testing::Values(Kind::file, Kind::folder, Kind::server),
                         [](const auto& kind) { return name_of(kind.param); });

}  // namespace
}  // namespace lastlook::sync
