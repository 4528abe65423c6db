// SPDX-License-Identifier: Apache-2.0
#include <gmock/gmock.h>

#include "kiosk/records/pictures.h"
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

TEST_F(RecordsCommandTest, TakesOldPicturesAwayOnceSomebodyApprovesIt) {
  const std::string engineer = make_station();
  const std::string at = " --dir " + path("LL-7");
  std::string picture;
  {
    const auto records = records::Records::open(path("LL-7")).value();
    picture = records::Pictures(records->folder() / "pictures").keep(std::string("plain")).value();
    domain::LookOpened opened;
    opened.look = "k-1";
    opened.serial = "26330-00417";
    domain::OpinionGiven opinion{"k-1", 1, "m-1", picture, {}};
    opinion.components.emplace_back().component = "seal";
    opinion.components[0].conforming = "yes";
    const std::vector<domain::Happening> look = {
        opened, opinion, domain::StepAnswered{"k-1", "seal", domain::Answer::conforming, {}, ""},
        domain::LookClosed{"k-1", domain::Disposition::accept, "", ""}};
    domain::Reading long_ago = domain::SystemClock().read();
    long_ago.wall_us -= 100LL * 24 * 3600 * 1'000'000;
    ASSERT_TRUE(records->append(look, "p-1", long_ago));
  }
  const auto file = path("LL-7") + "/pictures/" + picture.substr(0, 2) + "/" + picture;
  run("records prune --json --older-than 120" + at);
  EXPECT_EQ(json()["pictures"], 0);
  run("records prune --json --older-than 90" + at);
  ASSERT_EQ(code_, 0) << err_;
  EXPECT_EQ(json()["pictures"], 1);
  EXPECT_EQ(json()["taken_away"], false);
  EXPECT_TRUE(std::filesystem::exists(file)) << "nothing goes before it is approved";
  run("records prune --older-than 90 --approved-by " + engineer + at, "9999\n");
  EXPECT_EQ(code_, 1);
  EXPECT_TRUE(std::filesystem::exists(file));
  run("records prune --json --older-than 90 --approved-by " + engineer + at, "4101\n");
  ASSERT_EQ(code_, 0) << err_;
  EXPECT_EQ(json()["bytes"], 5);
  EXPECT_FALSE(std::filesystem::exists(file));
  run("records verify --json" + at);
  EXPECT_EQ(code_, 0) << out_;
  EXPECT_TRUE(json()["missing_pictures"].empty());
  run("unit 26330-00417 --json" + at);
  EXPECT_EQ(json()["looks"][0]["opinions"][0]["picture"]["file"], "taken away to make room");
  run("records prune --older-than 0" + at);
  EXPECT_EQ(code_, 2);
}

}  // namespace
}  // namespace lastlook::commands
