// SPDX-License-Identifier: Apache-2.0
#include <gmock/gmock.h>

#include "tests/kiosk/commands/program.h"

namespace lastlook::commands {
namespace {

using testing::HasSubstr;

class EscapesCommand : public ProgramTest {
 protected:
  static std::string rows(int count, const std::string& decisions) {
    std::string out;
    for (int i = 0; i < count; ++i) out += "u," + decisions + "\n";
    return out;
  }
};

// Gwet's table 20, 5, 10, 15 has kappa 0.4; of the accepted one in five was looked at again.
TEST_F(EscapesCommand, CountsAndWeighs) {
  run("escapes --json " +
      file("f.csv", "unit,first,second,probability,period\n" + rows(4, "accept,accept,0.2,mon") +
                        rows(1, "accept,hold,0.2,tue") + rows(10, "rework,accept,1,tue") +
                        rows(15, "scrap,rework,1,tue")));
  ASSERT_EQ(code_, 0) << err_;
  EXPECT_EQ(json()["escapes"], 1);
  EXPECT_EQ(json()["accepted"], 5);
  EXPECT_NEAR(json()["kappa"], 0.4, 1e-12);
  EXPECT_NEAR(json()["units"], 50, 1e-9);
  EXPECT_EQ(json()["periods"].size(), 2U);
  EXPECT_DOUBLE_EQ(json()["periods"][1]["running_rate"], 0.2);
}

TEST_F(EscapesCommand, WithoutProbabilitiesThereIsNoKappa) {
  run("escapes --json " + file("f.csv", "unit,first,second\n" + rows(59, "accept,accept")));
  EXPECT_EQ(code_, 0);
  EXPECT_TRUE(json()["kappa"].is_null());
  EXPECT_THAT(json()["notes"].dump(), HasSubstr("no column probability"));
  EXPECT_LT(json()["at_most"], 0.05);
  EXPECT_GT(json()["at_most"], 0.049);
}

TEST_F(EscapesCommand, TellsWhereTheInputIsWrong) {
  run("escapes " + file("f.csv", "unit,first,second\n\xE9,accept,accept\n"));
  EXPECT_THAT(err_, HasSubstr("line 2, column 1 (unit): expected text in UTF-8"));
  run("escapes " + file("f.csv", "unit,first,second,probability\nu,accept,accept,0\n"));
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("line 2, column 4 (probability): expected more than 0"));
  run("escapes " + file("f.csv", "unit,first\nu,accept\n"));
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("no column 'second'"));
  run("escapes --json " + file("f.csv", "unit,first,second\n"));
  EXPECT_EQ(code_, 0);
  EXPECT_TRUE(json()["rate"].is_null());
}

TEST_F(EscapesCommand, AWordForGoodThatNobodySaidIsASlip) {
  const std::string csv = file("f.csv", "unit,first,second\n" + rows(3, "ok,ok"));
  run("escapes --good 0k " + csv);
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("f.csv: line 4: expected a decision '0k' (--good)"));
  run("escapes --json --good ok " + csv);
  EXPECT_EQ(json()["accepted"], 3);
}

TEST_F(EscapesCommand, DrawsWhatTheLooksProve) {
  run("escapes --svg " + path("e.svg") + " " +
      file("f.csv", "unit,first,second,period\n" + rows(9, "accept,accept,mon")));
  EXPECT_EQ(code_, 0);
  EXPECT_THAT(content_of(path("e.svg")), HasSubstr("0 of 9"));
}

}  // namespace
}  // namespace lastlook::commands
