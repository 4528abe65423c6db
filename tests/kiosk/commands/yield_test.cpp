// SPDX-License-Identifier: Apache-2.0
#include <gmock/gmock.h>

#include "tests/kiosk/commands/program.h"

namespace lastlook::commands {
namespace {

using testing::HasSubstr;

class YieldCommand : public ProgramTest {};

// 60 defects in 400 units of 6 opportunities: DPU 0.15, DPMO 25000; Newcombe's Wilson limits of
// 15/148 (1998, 17:857, table I): 0.0624 to 0.1605.
TEST_F(YieldCommand, StepsAndTheirProduct) {
  run("yield --json " + file("f.csv",
                             "step,units,right,defects,opportunities\nbody,400,350,60,6\n"
                             "label,148,15,0,1\n"));
  ASSERT_EQ(code_, 0) << err_;
  const auto body = json()["steps"][0];
  EXPECT_DOUBLE_EQ(body["dpu"], 0.15);
  EXPECT_DOUBLE_EQ(body["dpmo"], 25000);
  EXPECT_NEAR(body["throughput"], 0.8607079764, 1e-9);
  const auto label = json()["steps"][1];
  EXPECT_NEAR(label["low"], 0.0624, 0.00005);
  EXPECT_NEAR(label["high"], 0.1605, 0.00005);
  EXPECT_NEAR(json()["rolled_first_pass"]["yield"], 350.0 / 400 * 15 / 148, 1e-12);
  EXPECT_NEAR(json()["rolled_throughput"]["yield"], 0.8607079764, 1e-9);
}

TEST_F(YieldCommand, WithoutDefectsThereIsNoThroughput) {
  run("yield --json " + file("f.csv", "step,units,right\na,10,0\nb,10,9\n"));
  EXPECT_EQ(code_, 0);
  EXPECT_TRUE(json()["rolled_throughput"].is_null());
  EXPECT_TRUE(json()["rolled_first_pass"]["low"].is_null());
  EXPECT_THAT(json()["notes"].dump(), HasSubstr("let nothing pass"));
}

TEST_F(YieldCommand, TellsWhereTheInputIsWrong) {
  run("yield " + file("f.csv", "step,units,right\na,10,11\n"));
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("line 2, column 3 (right): expected at most the 10 units, found 11"));
  run("yield " + file("f.csv", "step,units,right\na,0,0\n"));
  EXPECT_EQ(code_, 2);
  run("yield " + file("f.csv", "step,units,right\n"));
  EXPECT_EQ(code_, 2);
  run("yield");
  EXPECT_EQ(code_, 2);
}

}  // namespace
}  // namespace lastlook::commands
