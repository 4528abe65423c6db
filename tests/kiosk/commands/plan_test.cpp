// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <gmock/gmock.h>

#include <algorithm>

#include "tests/kiosk/commands/program.h"
#include "tests/kiosk/records/station.h"
#include "tests/places.h"

namespace lastlook::commands {
namespace {

using testing::HasSubstr;
using testing::StartsWith;

class Plan : public ProgramTest {};

// MIL-HDBK-1823A: 29 and 46; Cantor (1996) as it should be: 117.
TEST_F(Plan, PublishedSizes) {
  run("plan proof --rate 0.1 --json");
  EXPECT_EQ(code_, 0);
  EXPECT_EQ(json()["units"], 29);
  run("plan proof --rate 0.1 --misses 1 --json");
  EXPECT_EQ(json()["units"], 46);
  run("plan kappa --expect 0.85 --against 0.7 --share 0.5 --json");
  EXPECT_EQ(json()["units"], 117);
}

TEST_F(Plan, SaysWhatTheNumberMeans) {
  run("plan proof --rate 0.05");
  EXPECT_THAT(
      out_,
      StartsWith(
          "59 units: with at most 0 missed of so many bad units, the miss rate is below 5 %"));
  EXPECT_THAT(out_, HasSubstr("2 missed    124\n"));
  run("plan shift --rate 0.02 --worse 0.08");
  EXPECT_EQ(code_, 0);
}

TEST_F(Plan, RefusesWhatCannotBePlanned) {
  run("plan proof --rate 2");
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("a rate of 2: expected more than 0 and less than 1"));
  run("plan kappa");
  EXPECT_EQ(code_, 2);
  run("plan");
  EXPECT_EQ(code_, 2);
}

TEST_F(Plan, RefusesWhatWouldChangeNothing) {
  for (const char* command : {"kappa --half-width 0.1 --power 0.9",
                              "kappa --against 0.4 --shares 0.2,0.3,0.5 --share 0.3",
                              "kappa --against 0.4 --shares 0.2,0.3,0.5 --second-share 0.3",
                              "kappa FILE --half-width 0.1 --expect 0.8 --share 0.3",
                              "proof FILE --misses 3", "shift FILE --rate 0.1 --worse 0.2"}) {
    std::string line = command;
    if (const auto at = line.find("FILE"); at != std::string::npos)
      line.replace(at, 4, file("s.csv", "item,inspector,trial,rating\n1,A,1,ok\n1,B,1,no\n"));
    run("plan " + line);
    EXPECT_EQ(code_, 2) << command;
    EXPECT_EQ(std::ranges::count(err_, '\n'), 1) << err_;
  }
}

// AIAG Measurement Systems Analysis, 4th ed., table III-C 1: 16 bad parts, A and C
// agree least (kappa .78).
TEST_F(Plan, TakesTheNumbersOfAPilot) {
  std::ifstream in(source_dir() + "/tests/references/05_attribute_study_50x3x3.json");
  const auto parts = nlohmann::json::parse(in)["raw_data"];
  std::string csv = "item,inspector,trial,rating,reference\n";
  for (const auto& part : parts)
    for (const char* name : {"A", "B", "C"})
      for (std::size_t t = 0; t < 3; ++t)
        csv += fmt::format("{},{},{},{},{}\n", part["part"].dump(), name, t + 1,
                           part[name][t].dump(), part["reference"].dump());
  csv = file("study.csv", csv);
  run("plan kappa --json --half-width 0.1 " + csv);
  ASSERT_EQ(code_, 0) << err_;
  EXPECT_NEAR(json()["pilot"]["kappa"], 0.78, 0.005);
  EXPECT_EQ(json()["pilot"]["of"], "A and C, who agree least");
  const nlohmann::json shares = json()["pilot"]["shares"];
  const auto units = json()["units"];
  run(
      fmt::format("plan kappa --json --half-width 0.1 --expect 0.776119403 --share {} "
                  "--second-share {}",
                  shares[0].dump(), shares[1].dump()));
  EXPECT_EQ(json()["units"], units);
  run("plan proof --json --rate 0.1 " + csv);
  ASSERT_EQ(code_, 0) << err_;
  EXPECT_EQ(json()["pilot"]["bad_items"], 16);
  const int missed = json()["pilot"]["missed"];
  const auto proof = json()["units"];
  run(fmt::format("plan proof --json --rate 0.1 --misses {}", missed));
  EXPECT_EQ(json()["units"], proof);
  run("plan proof --rate 0.1 " + csv);
  EXPECT_THAT(out_, HasSubstr("of 16 bad items so far"));
}

TEST_F(Plan, TakesTheUsualRateOfSamples) {
  const std::string csv =
      file("f.csv", "sample,inspected,nonconforming\na,100,2\nb,300,6\nc,0,0\n");
  run("plan shift --json --worse 0.08 " + csv);
  ASSERT_EQ(code_, 0) << err_;
  const nlohmann::json out = json();
  EXPECT_EQ(out["pilot"]["samples"], 2);
  EXPECT_DOUBLE_EQ(out["pilot"]["rate"], 0.02);
  EXPECT_DOUBLE_EQ(out["pilot"]["units_a_sample"], 200);
  run("plan shift --json --rate 0.02 --worse 0.08 --svg " + path("p.svg") + " --html " +
      path("p.html"));
  EXPECT_EQ(json()["units"], out["units"]);
  EXPECT_EQ(json()["sizes"], out["sizes"]);
  EXPECT_THAT(content_of(path("p.svg")), HasSubstr("power 80 %"));
  EXPECT_THAT(content_of(path("p.html")), HasSubstr("How many units?"));
}

TEST_F(Plan, TakesTheNumbersOfAStation) {
  records::testing::Station station;
  const std::string dir = " --dir " + station.folder.path().string();
  for (int i = 1; i <= 40; ++i) {
    const std::string id = std::to_string(i);
    const auto first = i <= 10 ? domain::Disposition::rework : domain::Disposition::accept;
    const auto second =
        i <= 8 || i > 38 ? domain::Disposition::rework : domain::Disposition::accept;
    station.look("k-" + id, id, 1, first);
    station.happen(domain::SecondLookDrawn{"k-" + id, first, 1, 0.5});
    station.open_second("s-" + id, id, "k-" + id);
    station.happen(domain::LookClosed{"s-" + id, second, "", ""});
  }
  station.records.reset();
  run("plan shift --json --worse 0.5" + dir);
  ASSERT_EQ(code_, 0) << err_;
  EXPECT_DOUBLE_EQ(json()["pilot"]["rate"], 0.25);
  EXPECT_EQ(json()["as_of"][0]["station"], "LL-1");
  // 8 both, 2 and 2 one of them, 28 neither: observed .9, expected (10 10 + 30 30) / 40^2.
  run("plan kappa --json --half-width 0.2" + dir);
  ASSERT_EQ(code_, 0) << err_;
  EXPECT_NEAR(json()["pilot"]["kappa"], (0.9 - 0.625) / 0.375, 1e-9);
  EXPECT_NEAR(json()["pilot"]["shares"][0], 0.25, 1e-12);
  run("plan proof" + dir);
  EXPECT_EQ(code_, 2);
  EXPECT_THAT(err_, HasSubstr("--study"));
}

TEST_F(Plan, HelpHasAnExample) {
  run("plan kappa --help");
  EXPECT_EQ(code_, 0);
  EXPECT_THAT(out_, HasSubstr("lastlook plan kappa --expect"));
}

// Flack et al. (1988), as an example output prints it.
TEST_F(Plan, KappaOfSeveralCategories) {
  run("plan kappa --expect 0.6 --against 0.4 --shares 0.2,0.25,0.55 --json");
  EXPECT_EQ(code_, 0);
  EXPECT_EQ(json()["units"], 101);
  run("plan kappa --expect 0.6 --shares 0.2,0.25,0.55 --half-width 0.1");
  EXPECT_EQ(code_, 2);
}

}  // namespace
}  // namespace lastlook::commands
