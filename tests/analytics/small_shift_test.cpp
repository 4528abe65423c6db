// SPDX-License-Identifier: Apache-2.0
#include "analytics/small_shift.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <random>

#include "tests/analytics/references.h"

namespace lastlook::analytics {
namespace {

using nlohmann::json;
using testing::HasSubstr;

json published() {
  return references::load("11_small_shifts_and_rare_events.json");
}

// Printed digits where they reproduce. The chain lies within 2 in a thousand of the
// integral equation.
void expect_wait(const json& check, double wait, const std::string& what) {
  EXPECT_NEAR(wait / check["computed"].get<double>(), 1, 0.002) << what;
  if (!check["reproduces"]) return;
  const auto printed = check["published"].get<std::string>();
  EXPECT_NEAR(wait, std::stod(printed),
              references::printed_tolerance(printed) + 0.002 * std::stod(printed))
      << what;
}

// Lucas & Saccucci (1990), 50 run lengths.
TEST(Ewma, RunLengthsAsPublished) {
  const json all = published();
  for (const json& row : all["ewma"]["rows"]) {
    const auto wait = ewma_run_length(row["weight"], row["width"], normal_points(row["shift"]));
    ASSERT_TRUE(wait);
    expect_wait(row["check"], *wait, row.dump());
  }
}

// Montgomery, allowance 0.5, limits 4 and 5; Hawkins' limits for 370 points.
TEST(Cusum, RunLengthsAsPublished) {
  const json all = published();
  for (const json& row : all["cusum"]["rows"]) {
    const auto wait = cusum_run_length(row["allowance"], row["limit"], normal_points(row["shift"]));
    ASSERT_TRUE(wait);
    expect_wait(row["check"], *wait, row.dump());
  }
  for (const json& row : all["cusum_370"]["rows"]) {
    const auto wait = cusum_run_length(row["allowance"], row["limit"], normal_points());
    EXPECT_NEAR(*wait / 370, 1, 0.02) << row;  // limits printed to two decimals
    EXPECT_NEAR(*wait / row["computed"].get<double>(), 1, 0.002) << row;
  }
}

TEST(SmallShifts, RefuseWhatMeansNothing) {
  EXPECT_FALSE(ewma_run_length(0, 3, normal_points()));
  EXPECT_FALSE(ewma_run_length(1.1, 3, normal_points()));
  EXPECT_FALSE(ewma_run_length(0.1, 0, normal_points()));
  EXPECT_FALSE(cusum_run_length(-1, 3, normal_points()));
  EXPECT_FALSE(cusum_run_length(0.5, -1, normal_points()));
}

std::vector<ChartSample> steady(std::size_t count, std::int64_t n, double p, unsigned seed) {
  std::mt19937 random(seed);
  std::binomial_distribution<std::int64_t> found(n, p);
  std::vector<ChartSample> samples;
  for (std::size_t i = 0; i < count; ++i)
    samples.push_back({"s" + std::to_string(i), n, found(random), "", ""});
  return samples;
}

// Simulated phases of the very binomial, each from a fresh start to its first alarm or its end: the
// promised wait is the true one. 40,000 points hold about 100 alarms; three standard errors are
// 30 %.
TEST(SmallShifts, FalseAlarmsAreAsRareAsPromised) {
  std::vector<ChartSample> samples;
  for (unsigned phase = 0; phase < 110; ++phase)
    for (ChartSample& sample : steady(2000, 60, 0.05, phase)) {
      sample.phase = std::to_string(phase);
      samples.push_back(std::move(sample));
    }
  ChartOptions plain;
  plain.frozen_centre = 0.05;
  const auto under = attribute_chart(samples, plain);
  for (const SmallShiftKind kind : {SmallShiftKind::ewma, SmallShiftKind::cusum}) {
    SmallShiftOptions options;
    options.kind = kind;
    const auto added = small_shift_chart(*under, options);
    ASSERT_TRUE(added);
    int alarms = 0;
    std::ptrdiff_t points = 0;
    for (const ChartPhase& phase : added->phases) {
      const auto from = added->points.begin() + static_cast<std::ptrdiff_t>(phase.first);
      const auto end = added->points.begin() + static_cast<std::ptrdiff_t>(phase.end);
      const auto first =
          std::find_if(from, end, [](const ChartPoint& p) { return !p.signals.empty(); });
      alarms += first == end ? 0 : 1;
      points += first - from + (first == end ? 0 : 1);
    }
    EXPECT_GT(points, 30000);
    EXPECT_NEAR(static_cast<double>(points) / alarms / 370, 1, 0.3);
  }
}

// By hand: z of 2 and 2 more at weight 0.5 -> 1, 1.5; CUSUM with allowance 0.5 -> 1.5, 3.
TEST(SmallShifts, AddUpAsDefined) {
  ChartOptions plain;
  plain.frozen_centre = 0.5;
  // n 100: sigma is 0.05, so 60 of 100 lies two sigmas above.
  const std::vector<ChartSample> samples = {{"a", 100, 60, "", ""},
                                            {"b", 100, 60, "", ""},
                                            {"odd", 100, 90, "", "power cut"},
                                            {"none", 0, 0, "", ""},
                                            {"c", 100, 50, "", ""}};
  const auto under = attribute_chart(samples, plain);
  SmallShiftOptions options;
  options.lambda = 0.5;
  const auto ewma = small_shift_chart(*under, options);
  EXPECT_NEAR(*ewma->points[0].value, 1, 1e-12);
  EXPECT_NEAR(*ewma->points[1].value, 1.5, 1e-12);
  EXPECT_NEAR(*ewma->points[2].value, 1.5, 1e-12);  // excluded: the sum stays
  EXPECT_FALSE(ewma->points[3].value);
  EXPECT_NEAR(*ewma->points[4].value, 0.75, 1e-12);
  options.kind = SmallShiftKind::cusum;
  const auto cusum = small_shift_chart(*under, options);
  EXPECT_NEAR(*cusum->points[0].value, 1.5, 1e-12);
  EXPECT_NEAR(*cusum->points[1].value, 3, 1e-12);
  EXPECT_NEAR(*cusum->points[4].value, 2.5, 1e-12);
  EXPECT_NEAR(*cusum->points[1].down, 0, 1e-12);
}

TEST(SmallShifts, ACusumNamesWhereItRose) {
  auto samples = steady(40, 100, 0.1, 3);
  for (std::size_t i = 20; i < 40; ++i) samples[i].nonconforming = 13;  // one sigma up
  ChartOptions plain;
  plain.frozen_centre = 0.1;
  SmallShiftOptions options;
  options.kind = SmallShiftKind::cusum;
  const auto chart = small_shift_chart(*attribute_chart(samples, plain), options);
  const auto& last = chart->points.back();
  ASSERT_FALSE(last.signals.empty());
  EXPECT_THAT(last.signals[0].reason, HasSubstr("higher than usual since s"));
  EXPECT_NEAR(static_cast<double>(last.signals[0].first), 20, 3);
}

}  // namespace
}  // namespace lastlook::analytics
