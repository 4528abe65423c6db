// SPDX-License-Identifier: Apache-2.0
#include <gmock/gmock.h>
#include <sys/stat.h>
#include <unistd.h>

#include <map>

#include "kiosk/records/folder_lock.h"
#include "kiosk/records/records.h"
#include "tests/kiosk/capture/small_product.h"
#include "tests/kiosk/commands/program.h"
#include "tests/kiosk/records/station.h"

namespace lastlook::commands {
namespace {

namespace fs = std::filesystem;
using ::testing::HasSubstr;

// A station LL-7, and what the doctor says of it.
class DoctorTest : public ProgramTest {
 protected:
  DoctorTest() {
    unsetenv("DISPLAY");
    unsetenv("WAYLAND_DISPLAY");
    make_station();
  }
  fs::path folder() const { return dir_ / "LL-7"; }

  void ask(const std::string& more = "") {
    run("doctor --json --dir " + folder().string() + " " + more);
    checks_.clear();
    int broken = 0;
    const nlohmann::json said = json();
    for (const auto& one : said.at("checks")) {
      checks_[one["check"]] = one;
      broken += one["outcome"] == "broken";
      EXPECT_EQ(one["mend"].is_null(), one["outcome"] == "well") << one;
    }
    EXPECT_EQ(json()["broken"], broken);
    EXPECT_EQ(code_, broken > 0 ? 1 : 0) << err_;
  }
  std::string said_of(const std::string& check, const char* what) {
    const auto one = checks_.find(check);
    return one == checks_.end() ? "not there" : one->second.value(what, "");
  }
  std::string outcome(const std::string& check) { return said_of(check, "outcome"); }
  std::string found(const std::string& check) { return said_of(check, "found"); }
  std::string mend(const std::string& check) { return said_of(check, "mend"); }

  // Every file with what it holds.
  std::map<std::string, std::string> contents() const {
    std::map<std::string, std::string> all;
    for (const auto& one : fs::recursive_directory_iterator(folder()))
      if (one.is_regular_file()) all[one.path().string()] = content_of(one.path());
    return all;
  }

  std::map<std::string, nlohmann::json> checks_;
};

TEST_F(DoctorTest, ANewStationLacksOnlyABackup) {
  ask();
  for (const char* check : {"folder", "writer", "records", "people", "model", "sending"})
    EXPECT_EQ(outcome(check), "well") << check << ": " << found(check);
  EXPECT_EQ(outcome("backup"), "look");
  EXPECT_THAT(found("records"), HasSubstr("station LL-7"));
  EXPECT_THAT(found("people"), HasSubstr("1 can sign in"));
  EXPECT_EQ(outcome("camera"), "not there");
  EXPECT_EQ(json()["not_looked_at"].size(), 2U);
  EXPECT_THAT(found("display"), HasSubstr("no window can be opened"));
}

TEST_F(DoctorTest, SaysOneLineACheck) {
  run("doctor --dir " + folder().string());
  for (const char* check : {"folder", "records", "people", "disk", "backup", "clock", "time zone"})
    EXPECT_THAT(out_,
                ::testing::ContainsRegex(std::string("\n?(well|look|broken) +") + check + " "));
  EXPECT_THAT(out_, HasSubstr("run 'lastlook records backup"));
}

TEST_F(DoctorTest, AFolderThatIsNoStationIsLookedAtAllTheSame) {
  fs::remove(folder() / "records.db");
  ask();
  EXPECT_EQ(outcome("records"), "broken");
  EXPECT_THAT(found("records"), HasSubstr("no station"));
  EXPECT_EQ(outcome("people"), "well");
  EXPECT_NE(outcome("disk"), "not there");
  fs::remove_all(folder());
  ask();
  EXPECT_EQ(outcome("folder"), "broken");
  EXPECT_NE(outcome("clock"), "not there");
  EXPECT_FALSE(fs::exists(folder())) << "nothing is made";
}

TEST_F(DoctorTest, PeopleThatOthersCanReadAreMendedByTheLineItSays) {
  const std::string people = (folder() / "people.db").string();
  ASSERT_EQ(chmod(people.c_str(), 0644), 0);
  ask();
  EXPECT_EQ(outcome("people"), "broken");
  EXPECT_THAT(found("people"), HasSubstr("0644"));
  const std::string line = mend("people");
  ASSERT_THAT(line, ::testing::StartsWith("run 'chmod"));
  ASSERT_EQ(std::system(line.substr(5, line.size() - 6).c_str()), 0);
  ask();
  EXPECT_EQ(outcome("people"), "well");
}

TEST_F(DoctorTest, DamagedRecordsKeepNothingElseFromBeingLookedAt) {
  const fs::path file = folder() / "records.db";
  std::fstream(file, std::ios::in | std::ios::out | std::ios::binary).seekp(4096)
      << std::string(8 * 4096, 'x');
  ask();
  EXPECT_EQ(outcome("records"), "broken");
  EXPECT_THAT(mend("records"), HasSubstr("restore the newest backup"));
  EXPECT_EQ(outcome("people"), "well");
  EXPECT_NE(outcome("disk"), "not there");
  EXPECT_NE(outcome("backup"), "not there");
}

TEST_F(DoctorTest, RecordsOfALaterVersionSaySo) {
  records::testing::sql(folder() / "records.db", "PRAGMA user_version=9999");
  ask();
  EXPECT_EQ(outcome("records"), "broken");
  EXPECT_THAT(mend("records"), HasSubstr("install the later version"));
}

// Beside a writer, whose files stay as they are to the byte.
TEST_F(DoctorTest, LooksWhileTheStationIsOpenAndWritesNothing) {
  const auto writer = records::Records::open(folder()).value();
  const auto before = contents();
  ask("--send-to sqlite:" + path("plant.db"));
  EXPECT_EQ(outcome("writer"), "well");
  EXPECT_THAT(found("writer"), HasSubstr("process " + std::to_string(getpid())));
  EXPECT_EQ(outcome("records"), "well") << found("records");
  EXPECT_EQ(contents(), before);
  EXPECT_FALSE(fs::exists(path("plant.db")));
}

TEST_F(DoctorTest, AWriterThatWasCutOffIsTold) {
  std::ofstream(folder() / "lock") << "4711";
  ask();
  EXPECT_EQ(outcome("writer"), "look");
  EXPECT_THAT(found("writer"), HasSubstr("4711"));
  EXPECT_EQ(content_of(folder() / "lock"), "4711") << "the next writer still checks the file";
}

TEST_F(DoctorTest, AClockBehindTheLastEntryIsBroken) {
  {
    const auto records = records::Records::open(folder()).value();
    domain::Reading later = domain::SystemClock().read();
    later.wall_us += 3LL * 3600 * 1'000'000;
    const domain::Happening note = domain::UnitBuilt{"26330-00417", "CP-210", {}};
    ASSERT_TRUE(records->append({&note, 1}, "station", later));
  }
  ask();
  EXPECT_EQ(outcome("clock"), "broken");
  EXPECT_THAT(found("clock"), HasSubstr("2 hours before the last entry"));
}

TEST_F(DoctorTest, TheStoreIsThereOrNotAndSaysWhatWaits) {
  const std::string store = "sqlite:" + path("plant.db");
  ask("--send-to " + store);
  EXPECT_EQ(outcome("store"), "broken");
  EXPECT_THAT(found("store"), HasSubstr("plant.db"));
  run("sync --dir " + folder().string() + " --to " + store);
  ASSERT_EQ(code_, 0) << err_;
  ask("--send-to " + store);
  EXPECT_EQ(outcome("store"), "well") << found("store");
  {
    const auto records = records::Records::open(folder()).value();
    const domain::Happening built = domain::UnitBuilt{"26330-00417", "CP-210", {}};
    ASSERT_TRUE(records->append({&built, 1}, "station", domain::SystemClock().read()));
  }
  ask("--send-to " + store);
  EXPECT_EQ(outcome("store"), "look");
  EXPECT_THAT(found("store"), HasSubstr("1 entries wait"));
}

TEST_F(DoctorTest, WhatTheStationRemembersOfSendingIsSaidWithoutTheStore) {
  const std::string journal = records::Records::open_to_read(folder()).value()->journal();
  std::ofstream(folder() / "sent.json") << nlohmann::json{
      {"journal", journal}, {"seq", 1}, {"when_us", 1790000000000000}, {"offset_min", 0}};
  ask();
  EXPECT_EQ(outcome("sending"), "well") << "what waits has waited for less than a day";
  EXPECT_THAT(found("sending"), HasSubstr("last sent 2026-09-21"));
  EXPECT_THAT(found("sending"), HasSubstr("entries wait since"));
}

TEST_F(DoctorTest, BackupsAreFoundAndJudged) {
  run("records backup --keep 3 --dir " + folder().string() + " --to " + path("copies"));
  ASSERT_EQ(code_, 0) << err_;
  ask("--backups " + path("copies"));
  EXPECT_EQ(outcome("backup"), "look");
  EXPECT_THAT(found("backup"), HasSubstr("on the disk that the station is on"));
  const fs::path made = fs::directory_iterator(path("copies"))->path();
  records::testing::sql(
      made / "records.db",
      "DROP TRIGGER entry_is_never_changed;"
      "UPDATE entry SET hash = zeroblob(32) WHERE seq = (SELECT max(seq) FROM entry)");
  ask("--backups " + path("copies"));
  EXPECT_EQ(outcome("backup"), "broken");
  EXPECT_THAT(found("backup"), HasSubstr("another story"));
  std::ofstream(made / "records.db", std::ios::binary | std::ios::in).seekp(4096)
      << std::string(4 * 4096, 'x');
  ask("--backups " + path("copies"));
  EXPECT_EQ(outcome("backup"), "broken");
}

TEST_F(DoctorTest, TheCameraGivesAPictureOrItIsSaid) {
  fs::create_directories(path("camera"));
  cv::imwrite(path("camera/one.png"), cv::Mat(48, 64, CV_8UC3, cv::Scalar(90, 95, 92)));
  ask("--pictures " + path("camera"));
  EXPECT_EQ(outcome("camera"), "well");
  EXPECT_THAT(found("camera"), HasSubstr("64x48"));
  ask("--pictures /dev/no-such-camera");
  EXPECT_EQ(outcome("camera"), "broken");
  EXPECT_THAT(found("camera"), HasSubstr("no such device"));
  EXPECT_THAT(mend("camera"), HasSubstr("group video"));
  ask("--pictures " + path("nowhere"));
  EXPECT_EQ(outcome("camera"), "broken");
}

// The demo's model would do; this one is taught in a moment.
TEST_F(DoctorTest, APictureOfAnotherSizeThanTheModelsIsBroken) {
  fs::create_directories(path("camera"));
  cv::imwrite(path("camera/one.png"), cv::Mat(48, 64, CV_8UC3, cv::Scalar(90, 95, 92)));
  const auto model = capture::testing::taught_small_product();
  ASSERT_TRUE(vision::save_model(model, folder() / "small.model"));
  ask("--pictures " + path("camera"));
  EXPECT_EQ(outcome("camera"), "broken");
  EXPECT_THAT(found("camera"), HasSubstr("taught on 640x480"));
  EXPECT_EQ(outcome("model"), "well");
}

TEST_F(DoctorTest, AModelThatWasAlteredIsBroken) {
  std::ofstream(folder() / "pump.model") << "no model";
  ask();
  EXPECT_EQ(outcome("model"), "broken");
}

TEST_F(DoctorTest, FilesOfAnotherUserAreNamed) {
  if (geteuid() != 0) GTEST_SKIP() << "only root can give files away";
  ASSERT_EQ(chown((folder() / "people.db").c_str(), 65534, 65534), 0);
  ask();
  EXPECT_EQ(outcome("folder"), "broken");
  EXPECT_THAT(found("folder"), HasSubstr("people.db"));
  EXPECT_THAT(mend("folder"), HasSubstr("chown -R"));
}

TEST_F(DoctorTest, BadUsageIsOneLineAndCode2) {
  for (const std::string arguments : {"doctor", "doctor --dir x --send-to nowhere"}) {
    run(arguments);
    EXPECT_EQ(code_, 2) << arguments;
    EXPECT_EQ(std::ranges::count(err_, '\n'), 1) << err_;
  }
}

}  // namespace
}  // namespace lastlook::commands
