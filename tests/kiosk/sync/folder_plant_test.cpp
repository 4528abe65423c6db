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

}  // namespace
}  // namespace lastlook::sync
