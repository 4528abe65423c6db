// SPDX-License-Identifier: Apache-2.0
// A concession, granted at the command line and used at the station.
#include <fmt/format.h>
#include <gmock/gmock.h>

#include "kiosk/flows/station.h"
#include "tests/kiosk/commands/program.h"

namespace lastlook::commands {
namespace {

using testing::HasSubstr;

class ConcessionTest : public ProgramTest {
 protected:
  ConcessionTest() : engineer(make_station()) {}
  void grant(const std::string& what, const std::string& pin = "4101") {
    run(fmt::format("concession grant {} --dir {} --approved-by {} --json", what, path("LL-7"),
                    engineer),
        pin + "\n");
  }
  static constexpr const char* whole =
      "D-17 --authority 'customer quality' --variant CP-210 --component lid --defect dirty "
      "--quantity 2 --last-day 2099-12-31";
  std::string engineer;
};

TEST_F(ConcessionTest, IsGrantedWithAllItsLimitsAndListed) {
  run("concession list --dir " + path("LL-7"));
  EXPECT_EQ(code_, 0) << err_;
  EXPECT_THAT(out_, HasSubstr("none was granted"));
  grant(whole);
  EXPECT_EQ(code_, 0) << err_;
  EXPECT_EQ(json()["number"], "D-17");
  run("concession list --json --dir " + path("LL-7"));
  EXPECT_EQ(code_, 0) << err_;
  const auto one = json()["concessions"].at(0);
  EXPECT_EQ(one["authority"], "customer quality");
  EXPECT_EQ(one["variant"], "CP-210");
  EXPECT_EQ(one["component"], "lid");
  EXPECT_EQ(one["defect"], "dirty");
  EXPECT_EQ(one["quantity"], 2);
  EXPECT_EQ(one["used"], 0);
  EXPECT_EQ(one["state"], "valid");
  EXPECT_THAT(one["expires"].get<std::string>(), HasSubstr("2100-01-01T00:00:00"))
      << "it holds to the end of its last day";
}

TEST_F(ConcessionTest, LetsAUnitPassAtTheStation) {
  grant(whole);
  ASSERT_EQ(code_, 0) << err_;
  {
    const auto records = records::Records::open(path("LL-7")).value();
    domain::SystemClock clock;
    const auto station = flows::Station::open(*records, clock).value();
    const auto give = [&](const flows::Event& event) {
      const auto outcome = station->handle(event);
      ASSERT_TRUE(outcome) << outcome.error().message;
    };
    give(flows::SignIn{engineer, domain::Role::quality_engineer});
    flows::TakeResults results;
    for (const domain::UpstreamRule& rule : records->master().required_results) {
      domain::ResultEntered result;
      result.serial = "26330-00417";
      result.result = {rule.test, true, "", clock.read().wall_us};
      results.results.push_back(result);
    }
    results.built = {{"26330-00417", "CP-210", {}}};
    give(results);
    give(flows::Scan{"CP210-26330-00417"});
    give(flows::AddFinding{"lid", "dirty"});
    const auto steps = station->state().open->steps;
    for (const flows::StepState& step : steps)
      if (step.answer == domain::Answer::not_answered)
        give(flows::AnswerStep{step.step.component, step.step.component == "lid"
                                                        ? domain::Answer::nonconforming
                                                        : domain::Answer::conforming});
    give(flows::Close{domain::Disposition::accept, "D-17"});
    EXPECT_EQ(station->state().last->disposition, domain::Disposition::accept);
  }
  run("concession list --json --dir " + path("LL-7"));
  EXPECT_EQ(json()["concessions"].at(0)["used"], 1);
}

TEST_F(ConcessionTest, IsGrantedByAQualityEngineerWithThePin) {
  grant(whole, "4102");
  EXPECT_EQ(code_, 1);
  run(fmt::format("concession grant {} --dir {} --approved-by p-00000000", whole, path("LL-7")),
      "4101\n");
  EXPECT_EQ(code_, 1);
  run("concession list --json --dir " + path("LL-7"));
  EXPECT_TRUE(json()["concessions"].empty());
}

TEST_F(ConcessionTest, SaysWhichLimitIsWrong) {
  const auto said = [&](const std::string& instead, const std::string& of) {
    std::string options = whole;
    options.replace(options.find(of), of.size(), instead);
    grant(options);
    EXPECT_EQ(code_, 2) << options;
    return err_;
  };
  EXPECT_THAT(said("--variant CP-999", "--variant CP-210"), HasSubstr("variant: 'CP-999'"));
  EXPECT_THAT(said("--component roof", "--component lid"), HasSubstr("component: 'roof'"));
  EXPECT_THAT(said("--defect dent", "--defect dirty"), HasSubstr("defect: 'dent'"));
  EXPECT_THAT(said("--quantity 0", "--quantity 2"), HasSubstr("quantity: 0 units"));
  EXPECT_THAT(said("2020-12-31", "2099-12-31"), HasSubstr("expiry: lies in the past"));
  EXPECT_THAT(said("2099-02-30", "2099-12-31"), HasSubstr("expected a date as 2026-12-31"));
  grant(whole);
  EXPECT_EQ(code_, 0);
  grant(whole);
  EXPECT_EQ(code_, 1);
  EXPECT_THAT(err_, HasSubstr("D-17 stands for another concession already"));
}

}  // namespace
}  // namespace lastlook::commands
