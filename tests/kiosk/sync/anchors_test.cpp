// SPDX-License-Identifier: Apache-2.0
#include "kiosk/sync/anchors.h"

#include <fstream>
#include <random>
#include <sstream>

#include "kiosk/records/audit.h"
#include "kiosk/records/backup.h"
#include "kiosk/records/sqlite_store.h"
#include "kiosk/sync/send.h"
#include "tests/kiosk/records/rich_journal.h"
#include "tests/kiosk/sync/stores.h"

namespace lastlook::sync {
namespace {

namespace fs = std::filesystem;
using records::Entry;
using records::testing::RichJournal;
using records::testing::sql;
using records::testing::Station;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::SizeIs;

class Anchors : public ::testing::TestWithParam<Kind> {
 protected:
  Anchors() {
    RichJournal(station, 21).units(8);
    must(send(station.records->store(), *place.open()));
  }
  fs::path file() const { return station.folder.path() / "records.db"; }
  // What a station's own login is told, after another hand changed the file.
  Anchored after(const std::string& change) {
    station.records.reset();
    sql(file(),
        "DROP TRIGGER entry_is_never_changed; DROP TRIGGER entry_is_never_deleted; " + change);
    const auto store = must(records::SqliteStore::open(file(), records::Access::read));
    return must(compare(*store, *place.open())).at(0);
  }
  Place place{GetParam()};
  Station station;
};

TEST_P(Anchors, FindsNothingWhereNothingWasChangedAndSaysWhatWasNotSent) {
  Anchored same = must(compare(station.records->store(), *place.open())).at(0);
  EXPECT_FALSE(same.differs);
  EXPECT_EQ(same.not_sent, 0);
  EXPECT_EQ(same.station_seq, same.store_seq);
  station.look("k-x", "x", 1, domain::Disposition::accept);
  same = must(compare(station.records->store(), *place.open())).at(0);
  EXPECT_FALSE(same.differs);
  EXPECT_EQ(same.not_sent, 2);
}

TEST_P(Anchors, NamesAnEntryThatWasEdited) {
  const std::string sent = fingerprint(entries_of(*station.records)[16].hash);
  const Anchored found = after("UPDATE entry SET actor = 'p-9' WHERE seq = 17");
  ASSERT_TRUE(found.differs);
  EXPECT_EQ(found.differs->seq, 17);
  EXPECT_EQ(found.differs->store, sent);
  EXPECT_NE(found.differs->station, sent);
  EXPECT_THAT(found.differs->station, SizeIs(12));
}

TEST_P(Anchors, NamesWhereAForgerRewroteEverythingAfter) {
  // Each hash and each link is right again: the station's own file has nothing to say against it.
  std::vector<Entry> all = entries_of(*station.records);
  const std::string journal = all[0].journal;
  std::string change;
  for (std::size_t i = 40; i < all.size(); ++i) {
    all[i].actor = "p-forger";
    all[i].previous = all[i - 1].hash;
    all[i].hash = records::hash_of(all[i]);
    change += "UPDATE entry SET actor = 'p-forger', previous = x'" +
              records::to_hex(all[i].previous) + "', hash = x'" + records::to_hex(all[i].hash) +
              "' WHERE seq = " + std::to_string(all[i].seq) + ";";
  }
  const Anchored found = after(change);
  ASSERT_TRUE(found.differs);
  EXPECT_EQ(found.differs->seq, 41);
  EXPECT_EQ(found.differs->station, fingerprint(all[40].hash));
  EXPECT_EQ(found.station_seq, std::ssize(all)) << "by itself it looks whole";
}

TEST_P(Anchors, FindsAFileThatWasCutOrRolledBack) {
  const auto n = std::ssize(entries_of(*station.records));
  const Anchored found = after("DELETE FROM entry WHERE seq > 50");
  ASSERT_TRUE(found.differs);
  EXPECT_EQ(found.differs->seq, 51);
  EXPECT_EQ(found.differs->station, "");
  EXPECT_EQ(found.store_seq, n);
}

TEST_P(Anchors, GivesBackWhatABackupLacks) {
  records::testing::TempFolder folder;
  must(records::backup(station.folder.path(), folder.path() / "backup"));
  station.open_look("k-x", "x", 1);
  station.look("k-y", "y", 1, domain::Disposition::scrap);
  must(send(station.records->store(), *place.open()));
  std::ostringstream before, again;
  must(records::dump(station.records->store(), before));
  const std::vector<Entry> sent = entries_of(*station.records);
  const auto plant = place.open_as_owner();
  const auto copied = must(
      records::restore(folder.path() / "backup", folder.path() / "station", station.clock, {},
                       [&](records::JournalStore& store) { return take_back(store, *plant); }));
  EXPECT_EQ(copied.taken_back, 3);
  EXPECT_EQ(copied.entries, std::ssize(sent));
  const auto restored = must(records::Records::open(folder.path() / "station"));
  std::vector<records::Hash> hashes;
  must(restored->store().entries(sent[0].journal, 1, [&](const Entry& entry) {
    hashes.push_back(records::hash_of(entry));
    return true;
  }));
  ASSERT_EQ(hashes.size(), sent.size());
  EXPECT_EQ(hashes.back(), sent.back().hash);
  EXPECT_TRUE(must(records::verify(folder.path() / "station")).whole());
  must(send(restored->store(), *place.open()));
  const auto both = must(compare(restored->store(), *place.open()));
  ASSERT_THAT(both, SizeIs(2));
  EXPECT_FALSE(both[0].differs || both[1].differs);
  EXPECT_EQ(both[0].lost, 0);
  // Once more from the same backup: the journal that followed comes back too.
  const auto twice = must(
      records::restore(folder.path() / "backup", folder.path() / "twice", station.clock, {},
                       [&](records::JournalStore& store) { return take_back(store, *plant); }));
  EXPECT_EQ(twice.taken_back, 4);
  must(send(must(records::Records::open(folder.path() / "twice"))->store(), *place.open()));
}

TEST_P(Anchors, ARestoreWithoutTheStoreLosesWhatItSays) {
  records::testing::TempFolder folder;
  must(records::backup(station.folder.path(), folder.path() / "backup"));
  station.look("k-x", "x", 1, domain::Disposition::accept);
  must(send(station.records->store(), *place.open()));
  must(records::restore(folder.path() / "backup", folder.path() / "station", station.clock));
  const auto restored = must(records::Records::open(folder.path() / "station"));
  must(send(restored->store(), *place.open()));
  const auto both = must(compare(restored->store(), *place.open()));
  EXPECT_EQ(both.at(0).lost, 2);
  EXPECT_FALSE(both[0].differs) << "the station said so when it went on";
}

TEST_P(Anchors, AnotherStationInItsPlaceIsFound) {
  // As by who deletes the folder and makes a station of the same name.
  Station another;
  another.look("k-1", "1", 1, domain::Disposition::accept);
  const auto found = must(compare(another.records->store(), *place.open()));
  ASSERT_THAT(found, SizeIs(1));
  EXPECT_THAT(found[0].not_taken, HasSubstr("two stations are called LL-1"));
  EXPECT_THAT(found[0].not_taken, HasSubstr(station.records->journal().substr(0, 12)));
  EXPECT_THAT(must(place.open_as_owner()->journals()), SizeIs(1)) << "asking took nothing";
}

TEST_P(Anchors, AStationThatDidNotSendYetIsNoOther) {
  const Place empty(GetParam());
  EXPECT_EQ(must(compare(station.records->store(), *empty.open())).at(0).not_taken, "");
  EXPECT_THAT(must(empty.open_as_owner()->journals()), IsEmpty());
  // Nor is one that was restored, sends later, and was restored again.
  records::testing::TempFolder folder;
  must(records::backup(station.folder.path(), folder.path() / "backup"));
  must(records::restore(folder.path() / "backup", folder.path() / "one", station.clock));
  must(records::backup(folder.path() / "one", folder.path() / "backup2"));
  must(records::restore(folder.path() / "backup2", folder.path() / "two", station.clock));
  const auto restored = must(records::Records::open(folder.path() / "two"));
  const auto all = must(compare(restored->store(), *place.open()));
  ASSERT_THAT(all, SizeIs(3));
  for (const Anchored& one : all) EXPECT_EQ(one.not_taken, "");
  must(send(restored->store(), *place.open()));
}

INSTANTIATE_TEST_SUITE_P(Stores, Anchors, ::testing::Values(Kind::file, Kind::folder, Kind::server),
                         [](const auto& it) { return name_of(it.param); });

// One bit is turned over anywhere in the file: it is found or changes nothing, and the backup with
// the plant's store gives every entry back that was sent.
TEST(Anchoring, OneFlippedBitIsFoundAndEveryEntryThatWasSentIsThereAgain) {
  Station station;
  const Place place(Kind::file);
  records::testing::TempFolder folder;
  RichJournal journal(station, 22);
  journal.units(3);
  must(records::backup(station.folder.path(), folder.path() / "backup"));
  journal.units(20);  // so that most of the file is entries, not the empty pages of tables
  must(send(station.records->store(), *place.open()));
  const std::vector<Entry> sent = entries_of(*station.records);
  station.records.reset();
  const fs::path file = station.folder.path() / "records.db";
  std::ifstream in(file, std::ios::binary);
  const std::string bytes(std::istreambuf_iterator<char>(in), {});
  std::mt19937 random(22);
  int found = 0;
  for (int i = 0; i < 40; ++i) {
    std::string changed = bytes;
    const auto byte = random() % bytes.size();
    changed[byte] = static_cast<char>(changed[byte] ^ (1 << (random() % 8)));
    for (const char* left : {"-wal", "-shm"}) fs::remove(file.string() + left);
    std::ofstream(file, std::ios::binary) << changed;
    const auto verdict = records::verify(station.folder.path());
    const bool whole = verdict && verdict->whole();
    found += !whole;
    if (!whole) continue;
    const auto store = must(records::SqliteStore::open(file, records::Access::read));
    EXPECT_FALSE(must(compare(*store, *place.open())).at(0).differs) << "byte " << byte;
  }
  EXPECT_GT(found, 10);
  const auto plant = place.open();
  must(records::restore(folder.path() / "backup", folder.path() / "again", station.clock, {},
                        [&](records::JournalStore& store) { return take_back(store, *plant); }));
  const auto again = must(records::Records::open(folder.path() / "again"));
  std::size_t n = 0;
  must(again->store().entries(sent[0].journal, 1, [&](const Entry& entry) {
    EXPECT_EQ(entry.hash, sent[n++].hash);
    return true;
  }));
  EXPECT_EQ(n, sent.size());
}

}  // namespace
}  // namespace lastlook::sync
