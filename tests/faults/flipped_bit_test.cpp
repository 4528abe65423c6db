// SPDX-License-Identifier: Apache-2.0
// One bit of a station's file is turned over: verify finds it wherever it changes what is stored.
#include <algorithm>
#include <fstream>
#include <iostream>
#include <random>

#include "kiosk/records/audit.h"
#include "tests/kiosk/records/rich_journal.h"
#include "tests/kiosk/records/station.h"

namespace lastlook::faults {
namespace {

namespace fs = std::filesystem;
using records::testing::must;

constexpr unsigned seed = 20'261'125;

class FlippedBit : public ::testing::Test {
 protected:
  FlippedBit() {
    must(station.records->begin_bulk());
    records::testing::RichJournal(station, seed).units(12);
    must(station.records->end_bulk());
    station.records.reset();
    std::ifstream in(file(), std::ios::binary);
    bytes.assign(std::istreambuf_iterator<char>(in), {});
    before = contents();
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

  records::testing::Station station;
  std::string bytes;
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

}  // namespace
}  // namespace lastlook::faults
