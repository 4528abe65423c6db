// SPDX-License-Identifier: Apache-2.0
#include "analytics/rule_price.h"

#include <gtest/gtest.h>

#include <random>

namespace lastlook::analytics {
namespace {

// The wait until find_runs() itself speaks, over seeded random charts.
double simulated_wait(Question question, int n, double p, int charts) {
  std::mt19937 random(1987);
  std::binomial_distribution<int> count(n, p);
  const double sigma = std::sqrt(n * p * (1 - p));
  double sum = 0;
  for (int chart = 0; chart < charts; ++chart) {
    std::vector<std::optional<double>> z;
    std::vector<RunSignal> found;
    // Grows in pieces: most charts speak early, and looking again is cheap beside a long one.
    for (std::size_t length = 64; found.empty(); length *= 2) {
      while (z.size() < length) z.emplace_back((count(random) - n * p) / sigma);
      found = find_runs(z, {question});
    }
    sum += static_cast<double>(found.front().point + 1);
  }
  return sum / charts;
}

// Standard error of the simulated wait is about wait / sqrt(charts): 1.6 % here; bounds at 3 of
// them. The price of several rules is a little below the true wait, never above.
TEST(PointsBetweenFalseAlarms, AgreeWithSimulatedCharts) {
  const auto outcomes = binomial_outcomes(80, 0.1, 0.1, false);
  const double jump = points_between_false_alarms(Question::jump, outcomes);
  EXPECT_NEAR(simulated_wait(Question::jump, 80, 0.1, 4000) / jump, 1, 0.05);
  const double drift = points_between_false_alarms(Question::drift, outcomes);
  const double simulated = simulated_wait(Question::drift, 80, 0.1, 4000);
  EXPECT_GT(simulated / drift, 0.95);
  EXPECT_LT(simulated / drift, 1.15);
}

TEST(PointsBetweenFalseAlarms, OfTurnsAndMixturesAgreeWithSimulatedCharts) {
  const auto outcomes = binomial_outcomes(40, 0.3, 0.3, false);
  const double cycle = points_between_false_alarms(Question::cycle, outcomes);
  const double simulated = simulated_wait(Question::cycle, 40, 0.3, 1500);
  EXPECT_GT(simulated / cycle, 0.92);
  EXPECT_LT(simulated / cycle, 1.12);
}

TEST(PriceOf, UsesTheMedianSizeAndTheLastPhase) {
  std::vector<ChartSample> samples;
  for (int i = 0; i < 9; ++i) samples.push_back({"s", 100 + i, 10, "", ""});
  const auto chart = attribute_chart(samples);
  const auto price = price_of(*chart, {Question::jump});
  const double p = chart->centre();
  EXPECT_DOUBLE_EQ(price->points_between_limits,
                   *average_run_length({}, binomial_outcomes(104, p, p, false)));
  EXPECT_EQ(price->questions.size(), 1U);
}

TEST(PriceOf, NothingNonconformingNeverAlarms) {
  const auto chart = attribute_chart({{"a", 100, 0, "", ""}});
  EXPECT_TRUE(std::isinf(price_of(*chart, {Question::drift})->questions[0].points_between));
}

TEST(PriceOf, RefusesPrimeCharts) {
  std::vector<ChartSample> samples(20, {"s", 100, 10, "", ""});
  ChartOptions options;
  options.kind = ChartKind::p_prime;
  EXPECT_EQ(price_of(*attribute_chart(samples, options), {}).error().category, Category::refused);
}

}  // namespace
}  // namespace lastlook::analytics
