// SPDX-License-Identifier: Apache-2.0
#include <gmock/gmock.h>

#include "tests/kiosk/commands/program.h"

namespace lastlook::commands {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

class Pareto : public ProgramTest {
 protected:
  std::vector<std::string> defects() const {
    std::vector<std::string> out;
    const auto rows = json()["rows"];
    for (const auto& row : rows) out.push_back(row["defect"]);
    return out;
  }
};

// Institute for Healthcare Improvement, Open School: 90, 70, 20, 16 and 4 of 200.
TEST_F(Pareto, WorkedExampleAsJson) {
  run("pareto --json " + file("f.csv",
                              "defect,count\nomitted dose,4\nwrong dose,90\nwrong time,70\n"
                              "repeated dose,20\nwrong patient,16\n"));
  EXPECT_EQ(code_, 0);
  EXPECT_EQ(json()["total"], 200);
  EXPECT_THAT(defects(), ElementsAre("wrong dose", "wrong time", "repeated dose", "wrong patient",
                                     "omitted dose"));
  EXPECT_EQ(json()["rows"][1]["rank"], 2);
  EXPECT_EQ(json()["rows"][1]["count"], 70);
  EXPECT_DOUBLE_EQ(json()["rows"][1]["percent"], 35);
  EXPECT_DOUBLE_EQ(json()["rows"][1]["cumulative_percent"], 80);
}

TEST_F(Pareto, OneDefectARow) {
  run("pareto --json " + file("f.csv", "time;defect\n8:00;lid\n8:10;seal\n8:20;lid\n"));
  EXPECT_EQ(json()["total"], 3);
  EXPECT_THAT(defects(), ElementsAre("lid", "seal"));
}

TEST_F(Pareto, OrdersBySeverityAndCost) {
  const std::string csv =
      file("f.csv",
           "defect,count,severity,cost\nscratch,12,minor,1\nseal,5,critical,2.5\n"
           "lid,7,2,0\n");
  run("pareto --json --by severity " + csv);
  EXPECT_THAT(defects(), ElementsAre("seal", "lid", "scratch"));
  EXPECT_DOUBLE_EQ(json()["total_value"], 76);
  run("pareto --json --by cost " + csv);
  EXPECT_THAT(defects(), ElementsAre("seal", "scratch", "lid"));
  run("pareto --json --by severity --weights minor=100,critical=1 " + csv);
  EXPECT_THAT(defects(), ElementsAre("scratch", "lid", "seal"));
}

TEST_F(Pareto, NothingFoundIsAnAnswer) {
  run("pareto --json " + file("f.csv", "defect,count\n"));
  EXPECT_EQ(code_, 0);
  EXPECT_EQ(json()["total"], 0);
  EXPECT_TRUE(json()["rows"].empty());
}

TEST_F(Pareto, TellsWhereTheInputIsWrong) {
  run("pareto " + file("f.csv", "defect,count\nlid,1\nseal,two\n"));
  EXPECT_EQ(code_, 2);
  EXPECT_EQ(out_, "");
  EXPECT_THAT(err_, HasSubstr("f.csv: line 3, column 2 (count): expected a whole number of 0 or "
                              "more, found 'two'"));
  EXPECT_EQ(std::count(err_.begin(), err_.end(), '\n'), 1);
  run("pareto " + file("f.csv", "Defect,count\nlid,1\n"));
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("no column 'defect'"));
  run("pareto " + file("f.csv", ""));
  EXPECT_EQ(code_, 2);
  run("pareto " + path("none.csv"));
  EXPECT_EQ(code_, 2);
  run("pareto");
  EXPECT_EQ(code_, 2);
  run("pareto --by colour " + path("none.csv"));
  EXPECT_EQ(code_, 2);
  run("pareto --by severity --weights minor " + file("f.csv", "defect,severity\nlid,minor\n"));
  EXPECT_EQ(code_, 2);
  run("pareto --by severity " + file("f.csv", "defect,severity\nlid,awful\n"));
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("line 2, column 2 (severity)"));
}

TEST_F(Pareto, HelpHasAnExample) {
  run("pareto --help");
  EXPECT_EQ(code_, 0);
  EXPECT_THAT(out_, HasSubstr("lastlook pareto findings.csv"));
}

TEST_F(Pareto, TableForATerminal) {
  run("pareto " + file("f.csv", "defect,count\nlid,3\nseal,1\n"));
  EXPECT_THAT(out_, HasSubstr("1  lid         3   75.0 %   75.0 %"));
}

}  // namespace
}  // namespace lastlook::commands
