// SPDX-License-Identifier: Apache-2.0
// One bit of a station's file is turned over: verify finds it wherever it changes what is stored,
// and a backup with the plant's store gives back every entry and every row.
#include <algorithm>
#include <fstream>
#include <iostream>
#include <random>
#include <sstream>

#include "kiosk/records/audit.h"
#include "kiosk/records/backup.h"
#include "kiosk/records/sqlite_store.h"
#include "kiosk/sync/anchors.h"
#include "kiosk/sync/send.h"
#include "kiosk/sync/sqlite_plant.h"
#include "tests/kiosk/records/rich_journal.h"
#include "tests/kiosk/records/station.h"

namespace lastlook::faults {
namespace {

namespace fs = std::filesystem;
using records::testing::must;

constexpr unsigned seed = 20'261'125;
constexpr std::string_view local_time_begun = R"(["local_time","LL-1",1,)";  // station, generation

class FlippedBit : public ::testing::Test {
 protected:
  FlippedBit() {
    records::testing::RichJournal journal(station, seed);
    work(journal);
    must(records::backup(station.folder.path(), place.path() / "backup"));
    work(journal);
    must(sync::send(station.records->store(), *plant()));
    rows_before = rows_of(station.folder.path());
    last = station.records->journal();
    station.records.reset();
    std::ifstream in(file(), std::ios::binary);
    bytes.assign(std::istreambuf_iterator<char>(in), {});
    before = contents();
  }
  void work(records::testing::RichJournal& journal) {
    must(station.records->begin_bulk());
    journal.units(10);
    must(station.records->end_bulk());
  }
  std::unique_ptr<sync::SqlitePlant> plant() const {
    return must(sync::SqlitePlant::open(place.path() / "plant.db", true));
  }
  fs::path file() const { return station.folder.path() / "records.db"; }

  // Everything a reader of the file can see.
  std::vector<std::string> contents() const {
    std::vector<std::string> all;
    const auto tables = records::testing::sql(
        file(), "SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name");
    for (const std::string& table : tables) {
      all.push_back(table);
      const std::string columns =
          table == "entry" ? "journal, seq, stamp, actor, kind, version, body, hex(previous), "
                             "hex(hash)"
                           : "*";
      for (auto& row : records::testing::sql(file(), "SELECT " + columns + " FROM " + table))
        all.push_back(std::move(row));
    }
    return all;
  }

  // Writes the file with one bit turned over.
  void flip(std::size_t byte, int bit) {
    for (const char* left : {"-wal", "-shm"}) fs::remove(file().string() + left);
    std::string changed = bytes;
    changed[byte] = static_cast<char>(changed[byte] ^ (1 << bit));
    std::ofstream(file(), std::ios::binary) << changed;
  }
  bool is_found() const {
    const auto verdict = records::verify(station.folder.path());
    return !verdict || !verdict->whole();
  }
  // Every row of a station, but for those of a journal that was begun by a restore: how far it is,
  // and the local time at its first entry.
  std::vector<std::string> rows_of(const fs::path& folder, const std::string& begun = "") const {
    const auto store =
        must(records::SqliteStore::open(folder / "records.db", records::Access::read));
    std::stringstream text;
    must(records::dump(*store, text));
    std::vector<std::string> rows;
    for (std::string line; std::getline(text, line);)
      if (begun.empty() || (line.find(begun) == line.npos && !line.starts_with(local_time_begun)))
        rows.push_back(line);
    return rows;
  }
  // All of two dumps are too long to read: the first line that differs says what is wrong.
  static void expect_same(const std::vector<std::string>& rows,
                          const std::vector<std::string>& expected) {
    const auto [a, b] = std::ranges::mismatch(rows, expected);
    EXPECT_EQ(a == rows.end() ? "the end" : *a, b == expected.end() ? "the end" : *b);
  }
  Result<records::Copied> restore(const fs::path& backup, const fs::path& to) {
    const auto store = plant();
    return records::restore(backup, to, station.clock, {}, [&](records::JournalStore& restored) {
      return sync::take_back(restored, *store);
    });
  }

  records::testing::Station station;
  records::testing::TempFolder place;  // of the backup and the plant's store
  std::string bytes, last;             // last: the journal
  std::vector<std::string> rows_before;
  std::vector<std::string> before;
};

TEST_F(FlippedBit, InAnyColumnOfAnyEntryIsFound) {
  const auto entries =
      records::testing::sql(file(),
                            "SELECT stamp, length(CAST(actor || kind || body AS BLOB)) FROM entry "
                            "WHERE kind <> 'master_adopted'");
  std::mt19937 random(seed);
  for (int i = 0; i < 150; ++i) {
    const auto& entry =
        entries[std::uniform_int_distribution<std::size_t>(0, entries.size() - 1)(random)];
    const auto bar = entry.rfind('|');
    const std::string stamp = entry.substr(0, bar);
    // A row stands in the file as journal, seq, stamp, actor, kind, version, body, two hashes.
    const auto at = bytes.find(stamp);
    ASSERT_NE(at, std::string::npos);
    const auto first = at - 33;
    const auto last = at + stamp.size() + std::stoul(entry.substr(bar + 1)) + 64;
    const auto byte = std::uniform_int_distribution<std::size_t>(first, last - 1)(random);
    flip(byte, std::uniform_int_distribution<int>(0, 7)(random));
    EXPECT_TRUE(is_found()) << "byte " << byte << ", " << byte - at << " after the stamp's begin";
  }
}

TEST_F(FlippedBit, AnywhereInTheFileIsFoundOrChangesNothing) {
  std::mt19937 random(seed);
  int found = 0, harmless = 0;
  for (int i = 0; i < 300; ++i) {
    const auto byte = std::uniform_int_distribution<std::size_t>(0, bytes.size() - 1)(random);
    flip(byte, std::uniform_int_distribution<int>(0, 7)(random));
    if (is_found()) {
      ++found;
      continue;
    }
    EXPECT_EQ(contents(), before) << "byte " << byte;
    ++harmless;
  }
  std::cout << found << " found, " << harmless << " in bytes that hold nothing\n";
  EXPECT_GT(found, 100);
}

TEST_F(FlippedBit, EveryEntryAndEveryRowComesBackFromTheBackupAndThePlantsStore) {
  const auto entries = [&](const fs::path& folder) {
    return records::testing::sql(
        folder / "records.db",
        "SELECT seq, hex(hash) FROM entry WHERE journal = '" + last + "' ORDER BY seq");
  };
  const auto written = entries(station.folder.path());
  std::mt19937 random(seed + 1);
  for (int found = 0; found < 10;) {
    const auto byte = std::uniform_int_distribution<std::size_t>(0, bytes.size() - 1)(random);
    flip(byte, std::uniform_int_distribution<int>(0, 7)(random));
    if (!is_found()) continue;
    const fs::path again = place.path() / ("again-" + std::to_string(++found));
    EXPECT_FALSE(restore(station.folder.path(), again)) << "the damaged file is no backup";
    ASSERT_FALSE(fs::exists(again));
    const records::Copied copied = must(restore(place.path() / "backup", again));
    EXPECT_GT(copied.taken_back, 0);
    EXPECT_EQ(copied.entries, std::ssize(written));
    EXPECT_EQ(entries(again), written) << "byte " << byte;
    expect_same(rows_of(again, copied.journal), rows_before);
    EXPECT_TRUE(must(records::verify(again)).whole());
  }
  // The station goes on, and what it sends follows what was sent before.
  const fs::path again = place.path() / "again-1";
  const auto restored = must(records::Records::open(again));
  EXPECT_EQ(must(sync::send(restored->store(), *plant())).entries, 1);
}

}  // namespace
}  // namespace lastlook::faults
