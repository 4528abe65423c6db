// SPDX-License-Identifier: Apache-2.0
#include "kiosk/sync/folder_plant.h"

#include <fstream>

#include "kiosk/sync/send.h"
#include "tests/kiosk/sync/stores.h"

namespace lastlook::sync {
namespace {

namespace fs = std::filesystem;
using records::testing::Station;
using ::testing::HasSubstr;

class FolderPlantTest : public ::testing::Test {
 protected:
  FolderPlantTest() {
    for (const char* look : {"k-1", "k-2", "k-3"}) {
      station.look(look, look, 1, domain::Disposition::accept);
      must(send(station.records->store(), *place.open()));  // one file each
    }
  }
  std::vector<fs::path> files() const {
    std::vector<fs::path> all;
    for (const auto& file : fs::directory_iterator(journal())) all.push_back(file.path());
    std::ranges::sort(all);
    return all;
  }
  fs::path journal() const { return place.folder() / "plant" / station.records->journal(); }
  Station station;
  const Place place{Kind::folder};
};

TEST_F(FolderPlantTest, OverlooksAFileThatIsBeingWritten) {
  const Head head = must(place.open()->head(station.records->journal()));
  std::ofstream(journal() / (files().back().filename().string() + ".77.part")) << "{";
  EXPECT_EQ(must(place.open()->head(station.records->journal())), head);
}

TEST_F(FolderPlantTest, NamesAMissingFile) {
  fs::remove(files()[1]);
  const auto head = place.open()->head(station.records->journal());
  ASSERT_FALSE(head.has_value());
  EXPECT_EQ(head.error().category, Category::damaged);
  EXPECT_THAT(head.error().message, HasSubstr("should come next"));
}

TEST_F(FolderPlantTest, NamesALineThatIsNoEntry) {
  std::ofstream(files()[0], std::ios::trunc) << "{\"journal\": 1}\n";
  const auto known = place.open()->journals();
  ASSERT_FALSE(known.has_value());
  EXPECT_THAT(known.error().message, HasSubstr("line 1: 'journal' is missing or of another type"));
}

// The office of a folder in which three stations have sent for a while.
class FolderOfficeTest : public FolderPlantTest {
 protected:
  FolderOfficeTest() {
    must(place.open()->make_office("office"));
    adopt(8);
    for (int i = 0; i < 3; ++i) {
      const std::string unit = "o-" + std::to_string(i);
      office.look(unit, unit, 1, domain::Disposition::accept);
      send_office();
    }
  }
  void send_office() { must(send(office.records->store(), *place.open())); }
  void adopt(std::int64_t revision) {
    domain::Master master = domain::testing::small_plant();
    master.revision = revision;
    office.happen(domain::MasterAdopted{revision, text::write_master(master), "p-7"});
    send_office();
  }
  std::int64_t newest() const {
    const auto entry = must(place.open()->newest_master());
    return entry ? entry->seq : 0;
  }
  fs::path root() const { return place.folder() / "plant"; }
  static std::vector<fs::path> all_files(const fs::path& folder) {
    std::vector<fs::path> all;
    for (const auto& file : fs::recursive_directory_iterator(folder))
      if (file.is_regular_file()) all.push_back(file.path());
    std::ranges::sort(all);
    return all;
  }
  Station office{"office"};
};

TEST_F(FolderOfficeTest, IsFoundByTheNamesOfFilesAndNotByReadingThem) {
  EXPECT_EQ(newest(), 3);  // after the start of the journal and the first revision
  int garbled = 0;
  for (const fs::path& file : all_files(root())) {
    const bool has_it = file.parent_path().filename() == office.records->journal() &&
                        file.filename().string().starts_with("000000000001-");
    if (file.extension() != ".jsonl" || fs::file_size(file) == 0 || has_it) continue;
    std::ofstream(file, std::ios::trunc) << "cannot be read\n";
    ++garbled;
  }
  EXPECT_EQ(garbled, 6) << "all others, of both journals";
  EXPECT_EQ(newest(), 3);
}

TEST_F(FolderOfficeTest, WhatIsSaidIsNeverChangedAndTheLastCounts) {
  must(place.open()->make_office("LL-1"));
  ASSERT_EQ(all_files(root() / "office").size(), 2U);
  EXPECT_EQ(must(place.open()->office()), "LL-1");
  fs::remove(all_files(root() / "office")[1]);
  EXPECT_EQ(must(place.open()->office()), "office");
}

TEST_F(FolderOfficeTest, OverlooksAFileThatIsBeingWritten) {
  std::ofstream(all_files(root() / "office")[0].string() + ".77.part") << "{";
  std::ofstream(all_files(root() / "master")[0].string() + ".77.part");
  EXPECT_EQ(must(place.open()->office()), "office");
  EXPECT_EQ(newest(), 3);
}

TEST_F(FolderOfficeTest, NamesAFileThatWasChanged) {
  std::ofstream(all_files(root() / "office")[0], std::ios::trunc)
      << R"({"station":"LL-1"})" << '\n';
  const auto newest = place.open()->newest_master();
  ASSERT_FALSE(newest.has_value());
  EXPECT_EQ(newest.error().category, Category::damaged);
  EXPECT_THAT(newest.error().message, HasSubstr("says last is not as it was written"));
  must(place.open()->make_office("office"));
  EXPECT_EQ(this->newest(), 3) << "said anew";
}

// The power fails at the office after it was marked where the entry will lie.
TEST_F(FolderOfficeTest, ATryThatWasCutLeadsNowhereAndTheNextOneIsFound) {
  const auto before = all_files(root());
  adopt(9);
  const std::int64_t second = newest();
  EXPECT_GT(second, 3);
  for (const fs::path& file : all_files(root()))
    if (fs::file_size(file) > 0 && std::ranges::count(before, file) == 0) fs::remove(file);
  EXPECT_EQ(newest(), 3);
  office.look("o-9", "o-9", 1, domain::Disposition::accept);  // so that another file has it
  send_office();
  EXPECT_EQ(newest(), second);
}

TEST_F(FolderOfficeTest, WhatAProgramSentThatKnewNoOfficeIsFoundOnceItIsSaid) {
  fs::remove_all(root() / "master");
  fs::remove_all(root() / "office");
  EXPECT_EQ(newest(), 0);
  must(place.open()->make_office("office"));
  EXPECT_EQ(newest(), 3);
}

}  // namespace
}  // namespace lastlook::sync
