// SPDX-License-Identifier: Apache-2.0
#include "analytics/sample_size.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "analytics/distributions.h"
#include "tests/analytics/references.h"

namespace lastlook::analytics {
namespace {

using nlohmann::json;

json file() {
  return references::load("10_sample_sizes.json");
}

struct Proof {
  std::string check;
  double confidence;
  double rate;
  int failures;
};

// MIL-HDBK-1823A / NASA-STD-5009 for 29, 46 and 61; test-laboratory tables for the others. 95 % /
// 99 % is 299: one page prints 298, rounded down.
TEST(UnitsToProve, PublishedSizes) {
  const json checks = file()["checks"];
  for (const auto& [name, confidence, rate, failures] :
       std::vector<Proof>{{"c95r95", 0.95, 0.05, 0},
                          {"c90r90", 0.90, 0.10, 0},
                          {"c95r90", 0.95, 0.10, 0},
                          {"c90r95", 0.90, 0.05, 0},
                          {"c95r99", 0.95, 0.01, 0},
                          {"c95r999", 0.95, 0.001, 0},
                          {"c99r95", 0.99, 0.05, 0},
                          {"f1", 0.95, 0.10, 1},
                          {"f2", 0.95, 0.10, 2},
                          {"f1b", 0.95, 0.05, 1},
                          {"f2b", 0.95, 0.05, 2}}) {
    const double size = static_cast<double>(*units_to_prove(rate, confidence, failures));
    references::expect_check(checks[name], size, name);
  }
}

TEST(UnitsToProve, TablesOfNoAndFewFailures) {
  const json data = file();
  for (const auto& [name, size] : data["zero_failure_table_confidence_over_reliability"].items()) {
    double confidence = 0;
    double reliability = 0;
    ASSERT_EQ(std::sscanf(name.c_str(), "%lf/%lf", &confidence, &reliability), 2);
    EXPECT_EQ(*units_to_prove(1 - reliability / 100, confidence / 100), size) << name;
  }
  for (const auto& [name, sizes] : data["with_failures"].items()) {
    double confidence = 0;
    double rate = 0;
    ASSERT_EQ(std::sscanf(name.c_str(), "%lf%% confidence, true rate < %lf", &confidence, &rate),
              2);
    for (const auto& [failures, size] : sizes.items()) {
      EXPECT_EQ(*units_to_prove(rate, confidence / 100, std::stoi(failures)), size) << name;
    }
  }
}

TEST(UnitsToProve, RefusesWhatCannotBeProved) {
  EXPECT_FALSE(units_to_prove(0));
  EXPECT_FALSE(units_to_prove(1));
  EXPECT_FALSE(units_to_prove(0.1, 1));
  EXPECT_FALSE(units_to_prove(0.1, 0.95, -1));
  EXPECT_FALSE(units_to_prove(1e-12));
}

// Cantor (1996): kappa .85 against .70, half positive: 117 (the 96 in circulation swaps the two).
TEST(UnitsForKappa, Cantor) {
  const json checks = file()["checks"];
  EXPECT_EQ(*units_for_kappa_test({0.85, 0.5, 0.5}, 0.70),
            checks["cantor_as_described"]["computed"].get<double>());
  const json grid = file()["cantor_grid_computed_one_sided_5pct_power_80"];
  for (const auto& [name, size] : grid.items()) {
    double null = 0;
    double truth = 0;
    double share = 0;
    ASSERT_EQ(std::sscanf(name.c_str(), "H0 %lf, true %lf, positives %lf", &null, &truth, &share),
              3);
    EXPECT_EQ(*units_for_kappa_test({truth, share, share}, null), size) << name;
  }
}

TEST(UnitsForKappa, WidthOfTheInterval) {
  const json grid = file()["kappa_precision_n_for_95pct_half_width"];
  for (const auto& [name, size] : grid.items()) {
    double kappa = 0;
    double share = 0;
    double half = 0;
    ASSERT_EQ(std::sscanf(name.c_str(), "kappa %lf, positives %lf, half-width %lf", &kappa, &share,
                          &half),
              3);
    EXPECT_EQ(*units_for_kappa_width({kappa, share, share}, half), size) << name;
  }
}

TEST(UnitsForKappa, RefusesWhatCannotBe) {
  EXPECT_FALSE(units_for_kappa_width({0.9, 0.1, 0.6}, 0.1));
  EXPECT_FALSE(units_for_kappa_width({0.9, 0.5, 0.5}, 0));
  EXPECT_FALSE(units_for_kappa_test({0.6, 0.5, 0.5}, 0.7));
  EXPECT_FALSE(units_for_kappa_test({0.6, 1.5, 0.5}, 0.4));
}

TEST(SampleToCatch, ReachesItsPowerAndNotBefore) {
  const auto n = sample_to_catch(0.02, 0.08, 0.5);
  ASSERT_TRUE(n);
  const auto power = [](std::int64_t size) {
    return binomial_upper_tail(binomial_quantile(1 - normal_cdf(-3), size, 0.02) + 1, size, 0.08);
  };
  EXPECT_GE(power(*n), 0.5);
  EXPECT_LT(power(*n - 1), 0.5);
  EXPECT_FALSE(sample_to_catch(0.1, 0.05));
}

// Flack et al. (1988), as the example outputs of a statistics package print them: 101, 136 and 18.
// Its arguments are from memory.
TEST(UnitsForKappa, OfSeveralCategories) {
  const json checks = file()["checks"];
  const std::vector<double> three = {0.2, 0.25, 0.55};
  const std::vector<double> six = {0.2, 0.05, 0.2, 0.05, 0.2, 0.3};
  references::expect_check(checks["flack1"],
                           static_cast<double>(*units_for_kappa_of_shares(three, 0.6, 0.4)), "1");
  references::expect_check(
      checks["flack2"], static_cast<double>(*units_for_kappa_of_shares(three, 0.6, 0.4, 0.95, 0.9)),
      "2");
  references::expect_check(checks["flack3"],
                           static_cast<double>(*units_for_kappa_of_shares(six, 0.5, 0.1)), "3");
  // Two categories leave no choice of table.
  EXPECT_EQ(*units_for_kappa_of_shares({0.3, 0.7}, 0.8, 0.6),
            *units_for_kappa_test(KappaPlan{0.8, 0.3, 0.3}, 0.6));
}

TEST(UnitsForKappa, RefusesSharesThatCannotBe) {
  EXPECT_EQ(units_for_kappa_of_shares({0.2, 0.2}, 0.6, 0.4).error().category, Category::bad_input);
  EXPECT_FALSE(units_for_kappa_of_shares({1.0}, 0.6, 0.4));
  EXPECT_FALSE(units_for_kappa_of_shares({0.5, 0.5, 0.0}, 0.6, 0.4));
  EXPECT_FALSE(units_for_kappa_of_shares({0.5, 0.5}, 0.4, 0.4));
  EXPECT_EQ(units_for_kappa_of_shares({0.95, 0.05}, 0.6, -0.5).error().category, Category::refused);
}

}  // namespace
}  // namespace lastlook::analytics
