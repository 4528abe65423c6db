// SPDX-License-Identifier: Apache-2.0
#include <gmock/gmock.h>

#include "tests/kiosk/commands/program.h"

namespace lastlook::commands {
namespace {

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

}  // namespace
}  // namespace lastlook::commands
