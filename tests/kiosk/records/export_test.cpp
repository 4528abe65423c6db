// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/export.h"

#include <cstdio>
#include <fstream>
#include <nlohmann/json.hpp>

#include "kiosk/text/csv.h"
#include "tests/kiosk/records/station.h"

namespace lastlook::records {
namespace {

namespace fs = std::filesystem;
using domain::Disposition;
using testing::must;
using ::testing::StartsWith;

nlohmann::json json_of(const fs::path& file) {
  std::ifstream in(file);
  return nlohmann::json::parse(in);
}

// The first word that a program of the system prints.
std::string said(const std::string& command) {
  FILE* pipe = popen(command.c_str(), "r");
  char word[256] = {};
  EXPECT_EQ(std::fscanf(pipe, "%255s", word), 1);
  pclose(pipe);
  return word;
}

class ExportTest : public ::testing::Test {
 protected:
  ExportTest() {
    station.look("k-1", "1", 1, Disposition::accept);
    station.clock.pass(24 * 3600);
    station.look("k-2", "2", 1, Disposition::rework, {{"seal", "not_seated"}});
  }
  testing::Station station;
  testing::TempFolder elsewhere;
  const fs::path out = elsewhere.path() / "out";
};

TEST_F(ExportTest, ManifestNamesTheHashesOfItsFiles) {
  must(export_entries(station.folder.path(), "", "", out));
  const auto manifest = json_of(out / "manifest.json");
  EXPECT_EQ(manifest["station"], "LL-1");
  ASSERT_EQ(manifest["files"].size(), 2U);
  for (const auto& file : manifest["files"]) {
    const std::string name = file["name"];
    // b2sum of GNU coreutils.
    EXPECT_EQ(file["blake2b_256"], said("b2sum -l 256 " + (out / name).string())) << name;
  }
  EXPECT_EQ(
      manifest["journals"][0]["last_hash"],
      testing::sql(station.folder.path() / "records.db", "SELECT hash FROM station_state").at(0));
}

TEST_F(ExportTest, KeepsToTheProductionDates) {
  const auto entries = [&](const char* from, const char* until, const char* name) {
    return must(export_entries(station.folder.path(), from, until, elsewhere.path() / name))
        .entries;
  };
  EXPECT_EQ(entries("2026-11-26", "", "a"), 3);
  EXPECT_EQ(entries("", "2026-11-25", "b"), 4);
  EXPECT_EQ(entries("2026-11-25", "2026-11-26", "c"), 7);
  EXPECT_EQ(entries("2027-01-01", "", "d"), 0);
}

TEST_F(ExportTest, LinesHoldTheBytesThatTheHashCovers) {
  must(export_entries(station.folder.path(), "", "", out));
  std::ifstream lines(out / "entries.jsonl");
  Hash previous{};
  std::int64_t seq = 0;
  for (std::string line; std::getline(lines, line);) {
    const auto json = nlohmann::json::parse(line);
    Entry entry;
    entry.journal = json["journal"];
    entry.seq = json["seq"];
    entry.stamp = json["stamp"];
    entry.actor = json["actor"];
    entry.kind = json["kind"];
    entry.version = json["version"];
    entry.body = json["body"];
    entry.previous = previous;
    previous = hash_of(entry);
    EXPECT_EQ(json["hash"], to_hex(previous));
    EXPECT_EQ(entry.seq, ++seq);
  }
  EXPECT_EQ(seq, 7);
}

TEST_F(ExportTest, TheTableReadsAsCsv) {
  must(export_entries(station.folder.path(), "2026-11-26", "", out));
  auto csv = must(text::CsvReader::open((out / "entries.csv").string()));
  const auto time = must(csv.require("time", ""));
  const auto body = must(csv.require("body", ""));
  int rows = 0;
  while (must(csv.next())) {
    EXPECT_THAT(std::string(csv.field(time)), StartsWith("2026-11-26T06:00:"));
    EXPECT_EQ(nlohmann::json::parse(csv.field(body))["look"], "k-2");
    ++rows;
  }
  EXPECT_EQ(rows, 3);
}

TEST_F(ExportTest, RefusesAFolderThatIsThere) {
  EXPECT_EQ(export_entries(station.folder.path(), "", "", elsewhere.path()).error().category,
            Category::refused);
}

}  // namespace
}  // namespace lastlook::records
