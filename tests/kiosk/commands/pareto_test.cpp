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

TEST_F(Pareto, RefusesWhatWouldChangeNothing) {
  const std::string now = " " + file("now.csv", "defect,severity,lot\nlid,minor,1\n");
  const std::string both = now + " --against" + now;
  const auto refused = [&](const std::string& command, const char* why) {
    run("pareto " + command);
    EXPECT_EQ(code_, 2) << command;
    EXPECT_EQ(std::ranges::count(err_, '\n'), 1) << err_;
    EXPECT_THAT(err_, HasSubstr(why)) << command;
  };
  refused("--weights minor=2" + now, "--weights: expected with --by severity");
  for (const char* option : {"--batch lot", "--correct holm"})
    refused(option + now, "expected with --against or --against-from");
  refused("--seed 3" + both, "--seed: expected with --batch");
  for (const char* option : {"--inspected 5", "--against-inspected 5"}) {
    refused(option + now, "expected with --against and --counted units");
    refused(option + both, "expected with --against and --counted units");
  }
  for (const char* option : {"--few 50", "--rest lid"})
    refused(option + both, "expected without --against");
  refused("--where lot=1 --where lot=2" + now, "--where: 'lot' twice, expected each column once");
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

TEST_F(Pareto, NestedKindsAndFilters) {
  const std::string csv = file("f.csv",
                               "component,defect,count\nlid,scratch,4\nlid,loose,1\n"
                               "cap,loose,3\n");
  run("pareto --json --kinds component,defect " + csv);
  EXPECT_THAT(defects(), ElementsAre("lid: scratch", "cap: loose", "lid: loose"));
  run("pareto --json --kinds component " + csv);
  EXPECT_THAT(defects(), ElementsAre("lid", "cap"));
  run("pareto --json --where component=lid " + csv);
  EXPECT_THAT(defects(), ElementsAre("scratch", "loose"));
  EXPECT_EQ(json()["total"], 5);
  run("pareto --kinds colour " + csv);
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("no column 'colour'"));
  EXPECT_THAT(err_, HasSubstr("found 'component,defect,count'"));
}

// Newcombe (1998) 17:873, table II: 56/70 against 48/80, 0.0524 to 0.3339; p by
// scipy.stats.fisher_exact([[56, 14], [48, 32]]), Holm over two cells.
TEST_F(Pareto, WhatChangedBetweenTwoFiles) {
  run("pareto --json " + file("now.csv", "defect,count\nlid,56\nseal,14\n") + " --against " +
      file("before.csv", "defect,count\nlid,48\nseal,32\n"));
  ASSERT_EQ(code_, 0) << err_;
  const auto lid = json()["rows"][0]["defect"] == "lid" ? json()["rows"][0] : json()["rows"][1];
  EXPECT_NEAR(lid["difference"], 20, 1e-9);
  EXPECT_NEAR(lid["low"], 5.24, 0.005);
  EXPECT_NEAR(lid["high"], 33.39, 0.005);
  EXPECT_NEAR(lid["p"], 0.012521129749209, 1e-9);
  EXPECT_NEAR(lid["p_adjusted"], 2 * 0.012521129749209, 1e-9);
  EXPECT_EQ(lid["changed"], true);
  EXPECT_EQ(json()["counted"], "findings");
}

TEST_F(Pareto, UnitsAreSharesOfThoseInspected) {
  const std::string now = file("now.csv", "defect,count\nlid,56\n");
  const std::string before = file("before.csv", "defect,count\nlid,48\n");
  run("pareto --json --counted units --inspected 70 --against-inspected 80 " + now + " --against " +
      before);
  EXPECT_NEAR(json()["rows"][0]["low"], 5.24, 0.005);
  EXPECT_EQ(json()["counted"], "units");
  run("pareto --counted units " + now + " --against " + before);
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("expected --inspected and --against-inspected"));
}

TEST_F(Pareto, ComparesByResampledBatches) {
  std::string now = "shift,defect,count\n";
  std::string before = now;
  for (int shift = 0; shift < 8; ++shift) {
    const std::string name = std::to_string(shift);
    now += name + ",lid," + std::to_string(9 + shift % 3) + "\n" + name + ",seal,10\n";
    before += name + ",lid," + std::to_string(2 + shift % 2) + "\n" + name + ",seal,10\n";
  }
  run("pareto --json --batch shift " + file("n.csv", now) + " --against " + file("b.csv", before));
  ASSERT_EQ(code_, 0) << err_;
  EXPECT_EQ(json()["rows"][0]["changed"], true);
  EXPECT_THAT(json()["rule"].get<std::string>(), HasSubstr("batches resampled"));
  run("pareto --batch shift " + file("n.csv", "shift,defect\n1,lid\n2,lid\n") + " --against " +
      path("b.csv"));
  EXPECT_EQ(code_, 1);  // understood, and too little to say
  EXPECT_THAT(err_, HasSubstr("at least 3"));
}

TEST_F(Pareto, WritesOnePageOfItsOwn) {
  run("pareto --html " + path("page.html") + " " + file("f.csv", "defect\n<b>lid\n"));
  EXPECT_EQ(code_, 0);
  const std::string page = content_of(path("page.html"));
  EXPECT_THAT(page, HasSubstr("<svg"));
  EXPECT_THAT(page, HasSubstr("<table>"));
  EXPECT_THAT(page, HasSubstr("&lt;b&gt;lid"));
  EXPECT_THAT(page, testing::Not(HasSubstr("<b>lid")));
  EXPECT_THAT(page, testing::Not(HasSubstr("http://localhost")));
  EXPECT_THAT(page, testing::Not(HasSubstr("src=")));
}

TEST_F(Pareto, NeedsOneSource) {
  run("pareto");
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("expected FILE, --dir or --plant"));
  run("pareto --dir " + path("nothing"));
  EXPECT_EQ(code_, 2);
  run("pareto --dir " + path("nothing") + " --from yesterday");
  EXPECT_THAT(err_, HasSubstr("'yesterday' is not a date"));
}

}  // namespace
}  // namespace lastlook::commands
