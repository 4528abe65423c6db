// SPDX-License-Identifier: Apache-2.0
#include <gmock/gmock.h>

#include "tests/kiosk/commands/program.h"
#include "tests/kiosk/records/station.h"

namespace lastlook::commands {
namespace {

using records::testing::Station;
using ::testing::HasSubstr;

class ResultsTest : public ProgramTest {
 protected:
  void SetUp() override { make_station(); }
  std::string dir() const { return path("LL-7"); }
};

TEST_F(ResultsTest, ComeInFromAFileOnceEach) {
  const std::string rows = file("leak.csv",
                                "serial,variant,test,result,value,measured\n"
                                "26330-00417,CP-210,leak,passed,0.4,2026-11-20T06:12:03+01:00\n");
  run("results " + rows + " --json --dir " + dir());
  EXPECT_EQ(json()["taken"], 2) << err_;
  run("results " + rows + " --json --dir " + dir());
  EXPECT_EQ(json()["taken"], 0);
  EXPECT_EQ(json()["rows"], 2);
  run("unit 26330-00417 --json --dir " + dir());
  EXPECT_EQ(code_, 0) << err_;
  EXPECT_THAT(out_, HasSubstr("0.4"));
}

TEST_F(ResultsTest, OfAFileThatCannotBeReadWholeNothingIsTaken) {
  const std::string good = file("good.csv", "serial,variant\n26330-00417,CP-210\n");
  const std::string bad = file("bad.csv", "serial,variant\n26330-00418,\n");
  run("results " + good + " " + bad + " --dir " + dir());
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("bad.csv: line 2"));
  run("unit 26330-00417 --dir " + dir());
  EXPECT_EQ(code_, 1) << out_;
}

TEST_F(ResultsTest, PartsAreInTheStoryAndFoundByTheirLot) {
  Station station;
  const std::string dir = station.folder.path().string();
  station.records.reset();
  run("results " +
      file("build.csv",
           "serial,variant,made,part,lot\n"
           "1,CP-210,2026-11-24,seal ring,L-1\n"
           "2,CP-210,,seal ring,L-1\n"
           "3,CP-210,,seal ring,L-2\n") +
      " --dir " + dir);
  ASSERT_EQ(code_, 0) << err_;
  station.reopen();
  station.look("k-1", "1", 1, domain::Disposition::accept);
  station.look("k-2", "2", 1, domain::Disposition::hold);
  station.records.reset();
  run("results " + file("repair.csv", "serial,part,lot\n2,seal ring,L-2\n") + " --dir " + dir);
  ASSERT_EQ(code_, 0) << err_;
  run("unit 1 --json --dir " + dir);
  EXPECT_EQ(json()["built"][0]["made"], "2026-11-24");
  EXPECT_EQ(json()["parts"][0]["lot"], "L-1");
  EXPECT_EQ(json()["parts"][0]["replaced"], nullptr);
  run("unit 2 --dir " + dir);
  EXPECT_THAT(out_, HasSubstr("replaced, known since 20"));
  run("contain --lot L-1 --json --dir " + dir);
  ASSERT_EQ(code_, 0) << err_;
  ASSERT_EQ(json()["units"].size(), 2U);
  EXPECT_EQ(json()["units"][0]["serial"], "1");
  EXPECT_EQ(json()["units"][0]["now"]["state"], "accepted");
  EXPECT_EQ(json()["units"][0]["replaced"], nullptr);
  EXPECT_FALSE(json()["units"][0].contains("again"));
  EXPECT_NE(json()["units"][1]["replaced"], nullptr);
  EXPECT_EQ(json()["by_now"], nlohmann::json({{"accepted", 1}}));
  run("contain --lot L-1 --doubted 2026-11-25T06:00:00+01:00 --dir " + dir);
  EXPECT_THAT(out_, HasSubstr("inside now: 1 of 2"));
  EXPECT_THAT(out_, HasSubstr("of these looked at again: 1"));
  run("contain --lot L-9 --dir " + dir);
  EXPECT_THAT(out_, HasSubstr("no unit is known to have one inside"));
  run("contain --part 'seal ring' --dir " + dir);
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("--part: expected --lot"));
  run("contain --lot L-1 --component lid --dir " + dir);
  EXPECT_EQ(code_, 2);
}

}  // namespace
}  // namespace lastlook::commands
