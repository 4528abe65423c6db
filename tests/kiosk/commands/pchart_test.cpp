// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <gmock/gmock.h>

#include "tests/kiosk/commands/program.h"
#include "tests/places.h"

namespace lastlook::commands {
namespace {

using testing::HasSubstr;

class PChart : public ProgramTest {
 protected:
  // The wafers of NIST/SEMATECH e-Handbook 6.3.3.2.
  std::string wafers() const {
    std::ifstream in(source_dir() + "/tests/references/01_attribute_charts.json");
    const auto data = nlohmann::json::parse(in)["datasets"]["nist_p_chart_wafers"];
    std::string csv = "sample,inspected,nonconforming\r\n";
    int number = 0;
    for (const int count : data["counts"]) {
      csv += fmt::format("{},50,{}\r\n", ++number, count);
    }
    return file("wafers.csv", csv);
  }
};

TEST_F(PChart, NistWafersAsJson) {
  run("pchart --kind p --json " + wafers());
  EXPECT_EQ(code_, 0);
  EXPECT_NEAR(json()["centre"], 0.2313, 0.00005);
  ASSERT_EQ(json()["points"].size(), 30U);
  EXPECT_EQ(json()["points"][14]["sample"], "15");
  EXPECT_DOUBLE_EQ(json()["points"][14]["value"], 0.44);
  EXPECT_NEAR(json()["points"][14]["upper"], 0.4102, 0.00005);
  EXPECT_NEAR(json()["points"][14]["lower"], 0.0524, 0.00005);
  EXPECT_EQ(json()["points"][14]["signals"], nlohmann::json({"above the upper limit"}));
  EXPECT_TRUE(json()["points"][0]["signals"].empty());
}

TEST_F(PChart, EveryKindAndBothLimits) {
  const std::string csv = wafers();
  for (const char* kind : {"p", "np", "c", "u", "p-prime", "u-prime"}) {
    run(std::string("pchart --json --kind ") + kind + " " + csv);
    EXPECT_EQ(code_, 0) << kind << err_;
    EXPECT_EQ(json()["points"].size(), 30U);
  }
  run("pchart --json --kind np --limits exact " + csv);
  EXPECT_EQ(json()["points"][0]["upper"], 21.0);
}

TEST_F(PChart, AnswersWithItsExitCodeWhenAsked) {
  run("pchart --check " + wafers());
  EXPECT_EQ(code_, 1);
  run("pchart --check --centre 0.3 " + file("f.csv", "sample,inspected,nonconforming\na,50,15\n"));
  EXPECT_EQ(code_, 0);
}

TEST_F(PChart, SaysNoToAPrimeChartOfFewSamples) {
  run("pchart --kind p-prime " +
      file("f.csv", "sample,inspected,nonconforming\na,50,15\nb,50,9\n"));
  EXPECT_EQ(code_, 1);
  EXPECT_THAT(err_, HasSubstr("needs 20"));
}

TEST_F(PChart, PhasesAndExcludedSamples) {
  run("pchart --json " + file("f.csv",
                              "sample,inspected,nonconforming,phase,excluded\na,100,10,before,\n"
                              "b,100,30,before,power cut\nc,100,2,after,\n"));
  EXPECT_DOUBLE_EQ(json()["phases"][0]["centre"], 0.1);
  EXPECT_DOUBLE_EQ(json()["centre"], 0.02);
  EXPECT_EQ(json()["points"][1]["excluded"], "power cut");
}

TEST_F(PChart, ASampleIsExcludedByName) {
  const std::string csv =
      file("f.csv", "sample,inspected,nonconforming\na,100,10\nb,100,30\nc,100,12\n");
  run("pchart --json --exclude 'b=power cut' " + csv);
  ASSERT_EQ(code_, 0) << err_;
  EXPECT_DOUBLE_EQ(json()["centre"], 0.11);
  EXPECT_EQ(json()["points"][1]["excluded"], "power cut");
  run("pchart --kind t --json --exclude b=holiday " +
      file("e.csv", "event,between\na,10\nb,500\nc,12\nd,9\n"));
  ASSERT_EQ(code_, 0) << err_;
  EXPECT_EQ(json()["points"][1]["excluded"], "holiday");
  for (const char* wrong :
       {"--exclude x=reason", "--exclude b", "--exclude =reason", "--exclude b="}) {
    run(std::string("pchart ") + wrong + " " + csv);
    EXPECT_EQ(code_, 2) << wrong;
    EXPECT_THAT(err_, HasSubstr("--exclude: '")) << wrong;
  }
}

TEST_F(PChart, NothingInspectedIsNull) {
  run("pchart --json " + file("f.csv", "sample,inspected,nonconforming\na,10,1\nb,0,0\n"));
  EXPECT_EQ(code_, 0);
  EXPECT_TRUE(json()["points"][1]["value"].is_null());
  EXPECT_THAT(json()["notes"].dump(), HasSubstr("nothing inspected"));
}

TEST_F(PChart, TellsWhereTheInputIsWrong) {
  run("pchart " + file("f.csv", "sample,inspected,nonconforming\na,10,1\nb,10,11\n"));
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("f.csv: line 3, column 3 (nonconforming): expected at most the 10 "
                              "inspected, found 11"));
  run("pchart " + file("f.csv", "sample,inspected,nonconforming\na,-10,1\n"));
  EXPECT_THAT(err_, HasSubstr("line 2, column 2 (inspected)"));
  run("pchart " + file("f.csv", "sample,inspected,nonconforming\n"));
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("expected at least one sample"));
  run("pchart " + file("f.csv", "sample,nonconforming\na,1\n"));
  EXPECT_THAT(err_, HasSubstr("no column 'inspected'"));
  run("pchart --kind x " + wafers());
  EXPECT_EQ(code_, 2);
}

TEST_F(PChart, CChartNeedsNoInspected) {
  run("pchart --json --kind c " + file("f.csv", "sample,nonconforming\na,4\nb,4\n"));
  EXPECT_DOUBLE_EQ(json()["centre"], 4);
  EXPECT_DOUBLE_EQ(json()["points"][0]["upper"], 10);
}

TEST_F(PChart, CChartSaysWhereACountIsTheWrongNumber) {
  run("pchart --json --kind c " +
      file("f.csv", "sample,inspected,nonconforming\na,0,0\nb,10,4\nc,30,8\n"));
  EXPECT_DOUBLE_EQ(json()["centre"], 6);
  EXPECT_TRUE(json()["points"][0]["value"].is_null());
  EXPECT_THAT(json()["notes"].dump(), HasSubstr("findings per unit (u)"));
}

TEST_F(PChart, ADrawingThatCannotBeWrittenIsBadUsage) {
  run("pchart --svg /nowhere/chart.svg " + wafers());
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("/nowhere/chart.svg: cannot be written"));
}

TEST_F(PChart, AListOfQuestionsLeavesTheFileAlone) {
  run("pchart --json --catch jump,drift " + wafers());
  EXPECT_EQ(code_, 0) << err_;
  EXPECT_TRUE(json()["points_between_false_alarms"].contains("drift"));
}

TEST_F(PChart, SmallShiftsAddUp) {
  std::string csv = "sample,inspected,nonconforming\n";
  for (int i = 0; i < 40; ++i)
    csv += fmt::format("s{},100,{}\n", i, i < 20 ? 4 + i % 3 : 7 + i % 2);
  csv = file("f.csv", csv);
  run("pchart --json --kind p --centre 0.05 " + csv);
  const nlohmann::json shewhart = json();  // outlives the loop over a part of it
  ASSERT_EQ(shewhart["points"].size(), 40U);
  for (const auto& point : shewhart["points"]) EXPECT_TRUE(point["signals"].empty());
  for (const char* kind : {"ewma", "cusum"}) {
    run(std::string("pchart --json --centre 0.05 --kind ") + kind + " " + csv);
    ASSERT_EQ(code_, 0) << err_;
    EXPECT_TRUE(json()["points"][15]["signals"].empty()) << kind;
    EXPECT_FALSE(json()["points"][39]["signals"].empty()) << kind;
  }
  EXPECT_LE(json()["points"][5]["value_down"], 0.0);
  EXPECT_THAT(json()["points"][39]["signals"][0].get<std::string>(), HasSubstr("since s"));
  run("pchart --kind ewma --catch drift " + csv);
  EXPECT_EQ(code_, 2);
  run("pchart --kind ewma --weight 2 " + csv);
  EXPECT_EQ(code_, 2);
}

TEST_F(PChart, AnOptionOfAnotherKindOfChartIsRefused) {
  const std::string csv = file("f.csv", "sample,inspected,nonconforming\na,100,4\nb,100,5\n");
  for (const char* given : {"p --of u", "p --weight 0.3", "ewma --shift-to-catch 0.5",
                            "g --false-alarm-at 200", "cusum --weight 0.2"}) {
    run(std::string("pchart --kind ") + given + " " + csv);
    EXPECT_EQ(code_, 2) << given;
    EXPECT_THAT(err_, HasSubstr("expected with --kind ")) << given;
  }
  run("pchart --kind cusum --of p --shift-to-catch 0.5 --false-alarm-at 200 " + csv);
  EXPECT_EQ(code_, 0) << err_;
}

// scipy.stats.geom.ppf(norm.cdf(3), 0.1) - 1; scipy.stats.expon.isf(norm.sf(3), scale=9).
TEST_F(PChart, RareEvents) {
  const std::string csv = file("f.csv", "event,between\na,4\nb,14\nc,9\n");
  run("pchart --json --kind g " + csv);
  EXPECT_DOUBLE_EQ(json()["points"][0]["upper"], 62);
  run("pchart --json --kind t " + csv);
  EXPECT_NEAR(json()["points"][0]["upper"], 59.469536, 1e-5);
  run("pchart --kind g " + file("f.csv", "event,between\na,4.5\n"));
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("line 2, column 2 (between)"));
  run("pchart --kind t " + file("f.csv", "event,between\na,4\n"));
  EXPECT_EQ(code_, 1);
}

// Montgomery's purchase orders, sample 11: z of 3.0798.
TEST_F(PChart, StandardisedOnOneScale) {
  std::ifstream in(source_dir() + "/tests/references/01_attribute_charts.json");
  const auto data = nlohmann::json::parse(in)["datasets"]["montgomery_purchase_orders"];
  std::string csv = "sample,inspected,nonconforming\n";
  for (std::size_t i = 0; i < 25; ++i)
    csv += fmt::format("{},{},{}\n", i + 1, data["n"][i].dump(), data["D"][i].dump());
  run("pchart --json --standardised " + file("f.csv", csv));
  const auto points = json()["points"];
  for (std::size_t i = 0; i < 25; ++i)
    EXPECT_NEAR(points[i]["value"], data["per_sample_limits"][i]["z"], 1e-9);
  EXPECT_EQ(points[10]["upper"], 3.0);
  EXPECT_FALSE(points[10]["signals"].empty());
  run("pchart --standardised --limits exact " + path("f.csv"));
  EXPECT_EQ(code_, 1);
}

}  // namespace
}  // namespace lastlook::commands
