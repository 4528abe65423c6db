// SPDX-License-Identifier: Apache-2.0
#include "analytics/yield.h"

#include <gtest/gtest.h>

#include "tests/analytics/references.h"

namespace lastlook::analytics {
namespace {

using references::expect_check;
using references::expect_computed;
using references::load;

// 490 of 500: Wilson limits frozen from statsmodels, in the file of binomial intervals.
TEST(FirstPassYield, CarriesWilsonLimits) {
  const auto rate = first_pass_yield(490, 500);
  ASSERT_TRUE(rate);
  EXPECT_DOUBLE_EQ(rate->value, 0.98);
  EXPECT_NEAR(rate->limits.low, 0.9636, 0.00005);
  EXPECT_NEAR(rate->limits.high, 0.9891, 0.00005);
}

TEST(FirstPassYield, AllConformingStillLeavesDoubt) {
  const auto rate = first_pass_yield(20, 20);
  EXPECT_DOUBLE_EQ(rate->value, 1);
  EXPECT_NEAR(rate->limits.low, 0.8389, 0.00005);
  EXPECT_DOUBLE_EQ(rate->limits.high, 1);
}

TEST(FirstPassYield, RefusesNoUnits) {
  EXPECT_FALSE(first_pass_yield(0, 0));
}

TEST(DefectRates, DpmoExample) {
  const auto yield = load("09_differences_and_yield.json")["yield_"];
  const auto& example = yield["dpmo_example"];
  const auto rates = defect_rates(example["defects"], example["units"], example["opportunities"]);
  ASSERT_TRUE(rates);
  expect_computed(example["dpmo"], rates->per_million, "dpmo");
  expect_computed(example["dpu"], rates->per_unit, "dpu");
  expect_computed(example["throughput_yield_poisson"], rates->throughput_yield, "yield");
}

// Garwood (1936): a count of 0 has the upper limit 3.689.
TEST(DefectRates, NoDefectsHaveAnUpperLimit) {
  const auto rates = defect_rates(0, 1000);
  EXPECT_DOUBLE_EQ(rates->per_unit, 0);
  EXPECT_NEAR(rates->per_unit_limits.high, 0.003689, 5e-7);
  EXPECT_FALSE(defect_rates(1, 0));
  EXPECT_FALSE(defect_rates(-1, 10));
}

// Harry (2004), three steps.
TEST(RolledYield, ThreeSteps) {
  const auto yield = load("09_differences_and_yield.json")["yield_"];
  const auto& example = yield["harry_three_steps"];
  std::vector<StepYield> steps;
  int number = 0;
  for (const double dpu : example["dpu"]) {
    steps.push_back({std::exp(-dpu), {0, 1}});
    const std::string name = "step" + std::to_string(++number);
    expect_check(example["checks"][name], steps.back().value, name);
  }
  expect_check(example["checks"]["rty"], rolled_yield(steps)->value, "rolled");
  EXPECT_FALSE(rolled_yield({}));
  EXPECT_FALSE(rolled_yield({{0.9, {0.8, 1.1}}}));
}

TEST(RolledYield, OfOneStepHasThatStepsLimits) {
  const Rate step = *first_pass_yield(352, 400);
  const RolledYield rolled = *rolled_yield({{step.value, step.limits}});
  EXPECT_NEAR(rolled.limits->low, step.limits.low, 1e-12);
  EXPECT_NEAR(rolled.limits->high, step.limits.high, 1e-12);
}

// By hand: logarithms 0.3 and 0.4 below the values add up to 0.5; 0.06 and 0.08 above to 0.1.
TEST(RolledYield, AddsTheDistancesAsSquares) {
  const auto step = [](double value, double below, double above) {
    return StepYield{value, {value * std::exp(-below), value * std::exp(above)}};
  };
  const RolledYield rolled = *rolled_yield({step(0.8, 0.3, 0.06), step(0.9, 0.4, 0.08)});
  EXPECT_NEAR(rolled.value, 0.72, 1e-12);
  EXPECT_NEAR(rolled.limits->low, 0.72 * std::exp(-0.5), 1e-12);
  EXPECT_NEAR(rolled.limits->high, 0.72 * std::exp(0.1), 1e-12);
}

TEST(RolledYield, AStepThatLetsNothingPassHasNoLimits) {
  const RolledYield rolled = *rolled_yield({{0, {0, 0.1}}, {0.9, {0.8, 0.95}}});
  EXPECT_DOUBLE_EQ(rolled.value, 0);
  EXPECT_EQ(rolled.limits.error().category, Category::refused);
}

}  // namespace
}  // namespace lastlook::analytics
