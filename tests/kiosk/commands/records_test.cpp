// SPDX-License-Identifier: Apache-2.0
#include <gmock/gmock.h>

#include "tests/kiosk/commands/program.h"
#include "tests/kiosk/records/station.h"

namespace lastlook::commands {
namespace {

using ::testing::HasSubstr;

class RecordsCommandTest : public ProgramTest {
 protected:
  RecordsCommandTest() {
    station.look("k-1", "1", 1, domain::Disposition::accept);
    station.records.reset();
  }
  std::string dir() const { return station.folder.path().string(); }
  records::testing::Station station;
};

TEST_F(RecordsCommandTest, VerifySaysThatAllIsWhole) {
  run("records verify --json --dir " + dir());
  EXPECT_EQ(code_, 0);
  EXPECT_EQ(json()["whole"], true);
  EXPECT_EQ(json()["entries"], 4);
  EXPECT_EQ(json()["first_broken"], 0);
}

TEST_F(RecordsCommandTest, VerifyNamesTheFirstBrokenEntryAndSaysNo) {
  records::testing::sql(station.folder.path() / "records.db",
                        "DROP TRIGGER entry_is_never_changed;"
                        "UPDATE entry SET actor = 'p-2' WHERE seq = 3");
  run("records verify --json --dir " + dir());
  EXPECT_EQ(code_, 1);
  EXPECT_EQ(json()["first_broken"], 3);
  run("records verify --dir " + dir());
  EXPECT_EQ(code_, 1);
  EXPECT_THAT(out_, HasSubstr("entry 3 of journal"));
}

TEST_F(RecordsCommandTest, BackupRestoreRebuildAndExportLeaveAWholeStation) {
  run("records backup --dir " + dir() + " --to " + path("copy"));
  EXPECT_EQ(code_, 0) << err_;
  run("records restore --from " + path("copy") + " --dir " + path("again"));
  EXPECT_EQ(code_, 0) << err_;
  run("records rebuild --dir " + path("again"));
  EXPECT_EQ(code_, 0) << err_;
  run("records export --since 2026-11-25 --dir " + path("again") + " --to " + path("exported"));
  EXPECT_EQ(code_, 0) << err_;
  EXPECT_TRUE(std::filesystem::exists(path("exported/manifest.json")));
  run("records verify --json --dir " + path("again"));
  EXPECT_EQ(code_, 0) << out_;
  EXPECT_EQ(json()["entries"], 5) << "four of the old journal and the new one's first";
}

TEST_F(RecordsCommandTest, BackupFindsAPlaceOfItsOwn) {
  run("records backup --json --dir " + dir());
  EXPECT_EQ(code_, 0) << err_;
  EXPECT_TRUE(std::filesystem::exists(json()["folder"].get<std::string>() + "/records.db"));
}

TEST_F(RecordsCommandTest, BadUsageIsOneLineAndCode2) {
  for (const std::string& arguments :
       {std::string("records"), std::string("records verify"), "records verify --dir " + path("no"),
        "records export --since 25.11.2026 --dir " + dir(),
        "records restore --dir " + path("again") + " --from " + path("no")}) {
    run(arguments);
    EXPECT_EQ(code_, 2) << arguments;
    EXPECT_EQ(std::ranges::count(err_, '\n'), 1) << err_;
  }
}

TEST_F(RecordsCommandTest, RebuildWaitsForNobody) {
  station.reopen();
  run("records rebuild --dir " + dir());
  EXPECT_EQ(code_, 1);
  EXPECT_THAT(err_, HasSubstr("has this station open; close it"));
}

// A picture of a terabyte, which takes no room itself: at such a pace the disk is full in no time.
TEST_F(RecordsCommandTest, SaysHowLongTheRoomLasts) {
  make_station();
  run("records room --json --dir " + path("LL-7"));
  EXPECT_EQ(json()["bytes_a_day"], 0);
  EXPECT_TRUE(json()["days"].is_null());
  EXPECT_GT(json()["free_bytes"], 0);
  EXPECT_EQ(code_, json()["level"] == "enough" ? 0 : 1) << out_;
  std::filesystem::create_directories(path("LL-7") + "/pictures/ab");
  const std::string picture = path("LL-7") + "/pictures/ab/cd";
  std::ofstream(picture) << "x";
  std::filesystem::resize_file(picture, 1ULL << 40);
  run("records room --json --dir " + path("LL-7"));
  EXPECT_EQ(code_, 1);
  EXPECT_EQ(json()["level"], "scarce");
  EXPECT_EQ(json()["bytes_a_day"], (1LL << 40) / 7);
  run("records room --dir " + path("LL-7"));
  EXPECT_THAT(out_, HasSubstr("scarce: "));
  run("records room --dir " + path("nowhere"));
  EXPECT_EQ(code_, 2);
}

}  // namespace
}  // namespace lastlook::commands
