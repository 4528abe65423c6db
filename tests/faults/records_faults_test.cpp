// SPDX-License-Identifier: Apache-2.0
// What a station does when its folder is not as it left it, or the disk does not take more.
#include <signal.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <fstream>

#include "kiosk/records/audit.h"
#include "tests/kiosk/records/rich_journal.h"
#include "tests/kiosk/records/station.h"

namespace lastlook::faults {
namespace {

namespace fs = std::filesystem;
using domain::Answer;
using records::Records;
using records::testing::must;
using ::testing::HasSubstr;

class RecordsFault : public ::testing::Test {
 protected:
  fs::path folder() const { return station.folder.path(); }
  fs::path file() const { return folder() / "records.db"; }
  records::testing::Station station;
};

TEST_F(RecordsFault, AFileOfALaterVersionIsRefusedInWordsAndLeftAlone) {
  station.records.reset();
  records::testing::sql(file(), "PRAGMA user_version=99");
  const auto opened = Records::open(folder());
  ASSERT_FALSE(opened);
  EXPECT_EQ(opened.error().category, Category::newer);
  EXPECT_THAT(opened.error().message, HasSubstr("form 99"));
  EXPECT_THAT(opened.error().message, HasSubstr("install the later version"));
  EXPECT_EQ(records::testing::sql(file(), "PRAGMA user_version").at(0), "99");
  EXPECT_EQ(Records::open_to_read(folder()).error().category, Category::newer);
}

// Opens the station in another process, says so, and stays until it is killed.
pid_t other_program(const fs::path& folder) {
  int ends[2];
  EXPECT_EQ(pipe(ends), 0);
  const pid_t child = fork();
  if (child == 0) {
    const auto records = Records::open(folder);
    const char opened = records ? 'y' : 'n';
    if (write(ends[1], &opened, 1) != 1) _exit(1);
    pause();
    _exit(0);
  }
  char opened = 0;
  EXPECT_EQ(read(ends[0], &opened, 1), 1);
  EXPECT_EQ(opened, 'y');
  close(ends[0]);
  close(ends[1]);
  return child;
}

TEST_F(RecordsFault, ASecondProgramIsRefusedUntilTheFirstIsGone) {
  station.records.reset();
  const pid_t other = other_program(folder());
  const auto opened = Records::open(folder());
  ASSERT_FALSE(opened);
  EXPECT_EQ(opened.error().category, Category::busy);
  EXPECT_THAT(opened.error().message, HasSubstr(folder().string()));
  EXPECT_THAT(opened.error().message, HasSubstr(std::to_string(other)));
  EXPECT_TRUE(must(records::verify(folder())).whole()) << "reading is allowed";
  kill(other, SIGKILL);
  waitpid(other, nullptr, 0);
  EXPECT_TRUE(Records::open(folder())) << "a dead program holds nothing";
}

TEST_F(RecordsFault, AFileThatWasCutOffIsRefusedAndNotGoneOnWith) {
  must(station.records->begin_bulk());
  records::testing::RichJournal(station, 1).units(20);
  must(station.records->end_bulk());
  station.records.reset();
  fs::resize_file(file(), fs::file_size(file()) / 2);
  EXPECT_EQ(Records::open(folder()).error().category, Category::damaged);
  const auto verdict = must(records::verify(folder()));
  EXPECT_FALSE(verdict.whole());
}

TEST_F(RecordsFault, WhatIsNoDatabaseIsRefused) {
  station.records.reset();
  fs::resize_file(file(), 0);
  EXPECT_EQ(Records::open(folder()).error().category, Category::not_found);
  std::ofstream(file()) << std::string(8192, 'x');
  EXPECT_EQ(Records::open(folder()).error().category, Category::damaged);
  EXPECT_FALSE(must(records::verify(folder())).whole());
}

// No file of this process grows beyond a size while this lives.
class FullDisk {
 public:
  explicit FullDisk(rlim_t bytes) {
    signal(SIGXFSZ, SIG_IGN);
    getrlimit(RLIMIT_FSIZE, &before_);
    rlimit now = before_;
    now.rlim_cur = bytes;
    setrlimit(RLIMIT_FSIZE, &now);
  }
  ~FullDisk() { setrlimit(RLIMIT_FSIZE, &before_); }
  FullDisk(const FullDisk&) = delete;
  FullDisk& operator=(const FullDisk&) = delete;

 private:
  rlimit before_{};
};

TEST_F(RecordsFault, AFullDiskRefusesTheTouchAndLosesNothingBeforeIt) {
  station.open_look("k-1", "1", 1);
  int answered = 0;
  std::optional<Error> refused;
  {
    const FullDisk full(fs::file_size(file().string() + "-wal") + 200'000);
    while (!refused && answered < 1'000) {
      const Status done = station.try_one(
          domain::StepAnswered{"k-1", "c" + std::to_string(answered), Answer::conforming, {}, ""});
      if (done)
        ++answered;
      else
        refused = done.error();
    }
  }
  ASSERT_TRUE(refused);
  EXPECT_EQ(refused->category, Category::io);
  const auto answers = [&] {
    return records::testing::sql(file(), "SELECT count(*) FROM step_answer").at(0);
  };
  EXPECT_EQ(answers(), std::to_string(answered));
  // Room again: it goes on where it was.
  station.happen(domain::StepAnswered{"k-1", "one more", Answer::conforming, {}, ""});
  EXPECT_EQ(answers(), std::to_string(answered + 1));
  station.reopen();
  EXPECT_TRUE(must(records::verify(folder())).whole());
}

TEST_F(RecordsFault, AFolderThatCannotBeWrittenSaysSo) {
  station.records.reset();
  fs::permissions(folder(), fs::perms(0555));
  const pid_t other = fork();
  if (other == 0) {
    constexpr uid_t nobody = 65534;
    if (geteuid() == 0 && setuid(nobody) != 0) _exit(99);  // root may write everywhere
    const auto opened = Records::open(folder());
    _exit(opened ? 100 : static_cast<int>(opened.error().category));
  }
  int status = 0;
  waitpid(other, &status, 0);
  fs::permissions(folder(), fs::perms::owner_all);
  EXPECT_EQ(WEXITSTATUS(status), static_cast<int>(Category::io));
  station.records = must(Records::open(folder()));
}

}  // namespace
}  // namespace lastlook::faults
