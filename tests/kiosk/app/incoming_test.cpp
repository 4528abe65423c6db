// SPDX-License-Identifier: Apache-2.0
// A tester puts files into the folder while the line goes on.
#include "kiosk/app/incoming.h"

#include <gmock/gmock.h>
#include <stdlib.h>

#include <chrono>
#include <filesystem>
#include <fstream>
#include <optional>
#include <thread>

namespace lastlook::app {
namespace {

namespace fs = std::filesystem;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

class IncomingTest : public ::testing::Test {
 protected:
  IncomingTest() {
    std::string pattern = ::testing::TempDir() + "lastlook_XXXXXX";
    folder_ = fs::path(mkdtemp(pattern.data())) / "incoming";
    fs::create_directories(folder_);
  }
  ~IncomingTest() override {
    incoming_.reset();
    fs::remove_all(folder_.parent_path());
  }
  void open() {
    incoming_.emplace(Incoming::Parts{
        folder_, main_, [this](const text::ResultFile& file) { return take(file); },
        [this](const std::string& why) { told_.push_back(why); }, std::chrono::milliseconds(5)});
  }
  Status take(const text::ResultFile& file) {
    ++asked_;
    if (answer_) taken_ += file.results.size() + file.built.size();
    return answer_;
  }
  void put(const std::string& name, const std::string& text) {
    std::ofstream(folder_ / "being-written") << text;
    fs::rename(folder_ / "being-written", folder_ / name);
  }
  // Runs the window's thread until it is so, or for ten seconds.
  template <class Condition>
  bool until(const Condition& condition) {
    const auto end = std::chrono::steady_clock::now() + std::chrono::seconds(10);
    while (!condition() && std::chrono::steady_clock::now() < end) {
      main_.run();
      std::this_thread::sleep_for(std::chrono::milliseconds(2));
    }
    return condition();
  }

  fs::path folder_;
  MainQueue main_{[] {}};
  Status answer_;
  int asked_ = 0;
  std::size_t taken_ = 0;
  std::vector<std::string> told_;
  std::optional<Incoming> incoming_;
};

const std::string two_rows =
    "serial,test,result,measured\n"
    "26330-00417,leak,passed,2026-11-25T06:12:03+01:00\n"
    "26330-00418,leak,failed,2026-11-25T06:12:33+01:00\n";

TEST_F(IncomingTest, TakesAFileInAndPutsItAway) {
  open();
  put("leak-1.csv", two_rows);
  EXPECT_TRUE(until([&] { return fs::exists(folder_ / "taken" / "leak-1.csv"); }));
  EXPECT_EQ(taken_, 2U);
  EXPECT_FALSE(fs::exists(folder_ / "leak-1.csv"));
  put("leak-1.csv", two_rows);
  EXPECT_TRUE(until([&] { return fs::exists(folder_ / "taken" / "leak-1-2.csv"); }))
      << "one of the same name stays";
  EXPECT_THAT(told_, IsEmpty());
}

TEST_F(IncomingTest, TouchesNoFileThatIsBeingWritten) {
  open();
  std::ofstream(folder_ / "leak-1.csv.part") << "serial,te";
  put("leak-2.csv", two_rows);
  EXPECT_TRUE(until([&] { return fs::exists(folder_ / "taken" / "leak-2.csv"); }));
  EXPECT_TRUE(fs::exists(folder_ / "leak-1.csv.part"));
}

TEST_F(IncomingTest, RefusesAFileItCannotReadWholeAndSaysWhy) {
  open();
  put("leak-1.csv", two_rows + "26330-00419,leak,perhaps,2026-11-25T06:12:33Z\n");
  EXPECT_TRUE(until([&] { return fs::exists(folder_ / "refused" / "leak-1.csv"); }));
  EXPECT_TRUE(until([&] { return !told_.empty(); }));
  EXPECT_THAT(told_.at(0), HasSubstr("line 4, column 3 (result): expected passed or failed"));
  EXPECT_EQ(asked_, 0) << "nothing of it was used";
  std::ifstream why(folder_ / "refused" / "leak-1.csv.why.txt");
  std::string line;
  std::getline(why, line);
  EXPECT_EQ(line, told_[0]);
}

TEST_F(IncomingTest, RefusesWhatTheFlowRefusesByTheNameOfItsFile) {
  answer_ = fail(Category::bad_input, "leak of 1 was measured too late");
  open();
  put("leak-1.csv", two_rows);
  EXPECT_TRUE(until([&] { return fs::exists(folder_ / "refused" / "leak-1.csv"); }));
  EXPECT_TRUE(until([&] { return !told_.empty(); }));
  EXPECT_EQ(told_.at(0), "leak-1.csv: leak of 1 was measured too late");
  EXPECT_EQ(asked_, 1) << "and is not asked again";
  put("leak-1.csv", two_rows);
  EXPECT_TRUE(until([&] { return told_.size() == 2; })) << "put there anew it is told anew";
}

TEST_F(IncomingTest, TriesAgainWhileTheRecordsDoNotTakeItAndSaysSoOnce) {
  answer_ = fail(Category::io, "the disk is full");
  open();
  put("leak-1.csv", two_rows);
  EXPECT_TRUE(until([&] { return asked_ >= 3; }));
  EXPECT_EQ(told_, std::vector<std::string>{"leak-1.csv: the disk is full"});
  EXPECT_TRUE(fs::exists(folder_ / "leak-1.csv"));
  answer_ = {};
  EXPECT_TRUE(until([&] { return fs::exists(folder_ / "taken" / "leak-1.csv"); }));
  EXPECT_EQ(taken_, 2U);
}

}  // namespace
}  // namespace lastlook::app
