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

}  // namespace
}  // namespace lastlook::commands
