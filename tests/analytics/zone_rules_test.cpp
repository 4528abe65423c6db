// SPDX-License-Identifier: Apache-2.0
#include "analytics/zone_rules.h"

#include <gtest/gtest.h>

#include <map>

#include "tests/analytics/references.h"

namespace lastlook::analytics {
namespace {

using nlohmann::json;

const std::map<std::string, std::vector<ZoneRule>> kSets = {
    {"1", {{1, 1, 3}}},
    {"1+2of3", {{1, 1, 3}, {2, 3, 2}}},
    {"1+4of5", {{1, 1, 3}, {4, 5, 1}}},
    {"1+8run", {{1, 1, 3}, {8, 8, 0}}},
    {"1+2of3+4of5", {{1, 1, 3}, {2, 3, 2}, {4, 5, 1}}},
    {"1+2of3+8run", {{1, 1, 3}, {2, 3, 2}, {8, 8, 0}}},
    {"1+4of5+8run", {{1, 1, 3}, {4, 5, 1}, {8, 8, 0}}},
    {"all4", {{1, 1, 3}, {2, 3, 2}, {4, 5, 1}, {8, 8, 0}}},
    {"1+9run", {{1, 1, 3}, {9, 9, 0}}},
    {"all4_with_9run", {{1, 1, 3}, {2, 3, 2}, {4, 5, 1}, {9, 9, 0}}},
    {"1+7run", {{1, 1, 3}, {7, 7, 0}}}};

// To four decimals, as the file holds them.
void expect_arl(const std::string& set, double shift, double expected) {
  const auto& rules = kSets.at(set);
  const auto arl = average_run_length(rules, normal_outcomes(rules, shift));
  ASSERT_TRUE(arl) << set;
  EXPECT_NEAR(*arl, expected, 0.00005001) << set << " at " << shift;
}

// Champ & Woodall (1987) Technometrics 29:393-399: every combination, and shifts of the mean.
TEST(AverageRunLength, ChampAndWoodall) {
  const json file = references::load("02_run_rules.json");
  int checked = 0;
  for (const auto& [set, shifts] : file["computed_arl_table"].items()) {
    for (const auto& [shift, expected] : shifts.items()) {
      expect_arl(set, std::stod(shift), expected);
      ++checked;
    }
  }
  EXPECT_GT(checked, 90);
}

TEST(AverageRunLength, ChampAndWoodallShiftedAsPrinted) {
  const json paper = references::load("02_run_rules.json")["champ_woodall_1987"];
  int printed = 0;
  for (const auto& [table, set] :
       {std::pair{"arl_shift_all_four", "all4"}, {"arl_shift_rule1_only", "1"}}) {
    for (const auto& [shift, check] : paper[table].items()) {
      if (!check["reproduces"].get<bool>()) continue;
      const auto& rules = kSets.at(set);
      const auto arl = average_run_length(rules, normal_outcomes(rules, std::stod(shift)));
      const auto words = check["published"].get<std::string>();
      EXPECT_NEAR(*arl, std::stod(words), references::printed_tolerance(words))
          << set << " " << shift;
      ++printed;
    }
  }
  EXPECT_GE(printed, 20);
}

TEST(AverageRunLength, ChampAndWoodallAsPrinted) {
  const json arl0 = references::load("02_run_rules.json")["champ_woodall_1987"]["arl0"];
  for (const auto& [set, check] : arl0.items()) {
    const auto arl = average_run_length(kSets.at(set), normal_outcomes(kSets.at(set)));
    const auto printed = check["published"].get<std::string>();
    EXPECT_NEAR(*arl, std::stod(printed), references::printed_tolerance(printed)) << set;
  }
}

// One point beyond a limit: the mean wait is 1 / probability, here from the binomial itself.
// scipy 1.10.1: binom.sf(21, 50, .23) + binom.cdf(2, 50, .23).
TEST(AverageRunLength, OfOnePointIsTheReciprocal) {
  const auto outcomes = binomial_outcomes(50, 0.23, 0.23, true);
  double outside = 0;
  double all = 0;
  for (const Outcome& o : outcomes) {
    all += o.probability;
    if (o.outside) outside += o.probability;
  }
  EXPECT_NEAR(all, 1, 1e-12);
  EXPECT_NEAR(*average_run_length({}, outcomes), 1 / outside, 1e-6 / outside);
}

// Small counts are skewed: the zone rules of the normal cost more there than 1 in 91.75.
TEST(AverageRunLength, RunRulesAreDearerForSmallCounts) {
  const auto& rules = kSets.at("all4");
  const auto arl = average_run_length(rules, binomial_outcomes(20, 0.05, 0.05, false));
  EXPECT_LT(*arl, 60);
  const auto large = average_run_length(rules, binomial_outcomes(200000, 0.5, 0.5, false));
  EXPECT_NEAR(*large, 91.75, 1.0);
}

TEST(AverageRunLength, PoissonNearsTheNormal) {
  const auto& rules = kSets.at("all4");
  EXPECT_NEAR(*average_run_length(rules, poisson_outcomes(100000, 100000, false)), 91.75, 1.0);
}

// A count so large that nobody could list what it may be, and one that is on the other side of
// where cells take over: 1 / 370.4 of a normal process lies beyond three sigmas.
TEST(AverageRunLength, OfSamplesOfAnySize) {
  const auto& rules = kSets.at("all4");
  for (const std::int64_t n : {std::int64_t{2'000'000}, std::int64_t{1} << 53}) {
    const auto outcomes = binomial_outcomes(n, 0.2, 0.2, false);
    EXPECT_LT(outcomes.size(), 10'000U);
    EXPECT_NEAR(*average_run_length({}, outcomes), 370.4, 4) << n;
    EXPECT_NEAR(*average_run_length(rules, outcomes), 91.75, 1.0) << n;
  }
  EXPECT_NEAR(*average_run_length({}, poisson_outcomes(1e12, 1e12, false)), 370.4, 4);
  // A shift of one sigma: Champ & Woodall (1987), table 1, rule 1 alone: 43.89.
  const double shifted = 0.2 + std::sqrt(0.2 * 0.8 / 1e12);
  EXPECT_NEAR(*average_run_length({}, binomial_outcomes(1'000'000'000'000, shifted, 0.2, false)),
              43.89, 0.3);
}

TEST(AverageRunLength, ARuleThatCannotBeMetIsInfinite) {
  EXPECT_TRUE(std::isinf(*average_run_length({{2, 2, 0}}, {{0, 1, false}})));
}

TEST(AverageRunLength, RefusesAChainThatIsTooLarge) {
  const auto arl = average_run_length({{10, 20, 1}}, normal_outcomes({{10, 20, 1}}));
  EXPECT_EQ(arl.error().category, Category::refused);
}

}  // namespace
}  // namespace lastlook::analytics
