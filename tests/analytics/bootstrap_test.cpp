// SPDX-License-Identifier: Apache-2.0
#include "analytics/bootstrap.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace lastlook::analytics {
namespace {

using testing::HasSubstr;

const std::vector<double> kSkewed = {1.2, 3.4, 2.2, 5.6, 0.3, 4.4, 2.9, 8.8,
                                     1.1, 2.0, 3.3, 7.7, 0.9, 1.6, 2.5};

std::optional<double> mean(std::span<const double> sums) {
  return sums[0] / sums[1];
}

Resamples resamples(const BootstrapOptions& options = {}) {
  std::vector<double> rows;
  for (const double x : kSkewed) rows.insert(rows.end(), {x, 1});
  return Resamples(std::move(rows), 2, options);
}

// scipy.stats.bootstrap 1.10.1, BCa, 200,000 resamples, three seeds: 2.193 to 2.200 and 4.693
// to 4.707.
TEST(Bca, MeanOfSkewedNumbersAsScipy) {
  const auto interval = resamples({200000, 7, 0.95, 0}).bca(mean);
  ASSERT_TRUE(interval);
  EXPECT_NEAR(interval->low, 2.196, 0.02);
  EXPECT_NEAR(interval->high, 4.700, 0.02);
}

TEST(Bca, DependsOnTheSeedAndNotOnTheThreads) {
  const auto with = [](std::uint64_t seed, unsigned threads) {
    return *resamples({500, seed, 0.95, threads}).bca(mean);
  };
  EXPECT_EQ(with(1, 1).low, with(1, 3).low);
  EXPECT_EQ(with(1, 1).high, with(1, 3).high);
  EXPECT_NE(with(1, 1).low, with(2, 1).low);
}

// Two samples of constant units: resampled apart the sum never changes, together it does.
TEST(Bca, ResamplesEachSampleApart) {
  std::vector<double> rows(30);
  for (std::size_t i = 20; i < 30; ++i) rows[i] = 1;
  const auto sum = [](std::span<const double> sums) { return std::optional(sums[0]); };
  BootstrapOptions options;
  EXPECT_TRUE(Resamples(rows, 1, options).bca(sum));
  options.samples = {20, 10};
  EXPECT_THAT(Resamples(rows, 1, options).bca(sum).error().message, HasSubstr("never changes"));
  rows[25] = 3;
  EXPECT_TRUE(Resamples(rows, 1, options).bca(sum));
}

// Units that stand for 1 / 0.3 each: their mean is 1 but for rounding, whichever are drawn.
TEST(Bca, TakesRoundingForNoChange) {
  std::vector<double> rows;
  for (int i = 0; i < 14; ++i) rows.insert(rows.end(), {1 / 0.3, i % 3 == 0 ? 1 / 0.3 : 0});
  const auto share = [](std::span<const double> sums) {
    return std::optional((sums[0] - sums[1]) / sums[0] + sums[1] / sums[0]);
  };
  EXPECT_THAT(Resamples(rows, 2).bca(share).error().message, HasSubstr("never changes"));
}

TEST(Bca, RefusesWhatShowsNoDoubt) {
  const auto constant = resamples().bca([](std::span<const double> sums) { return sums[1]; });
  EXPECT_THAT(constant.error().message, HasSubstr("never changes"));
  // Defined only where the first unit was drawn.
  std::vector<double> rows(20);
  rows[0] = 1;
  const auto rare = Resamples(rows, 1).bca([](std::span<const double> sums) {
    return sums[0] > 0 ? std::optional(sums[0]) : std::nullopt;
  });
  EXPECT_THAT(rare.error().message, HasSubstr("undefined"));
  const auto never =
      resamples().bca([](std::span<const double>) { return std::optional<double>(); });
  EXPECT_EQ(never.error().category, Category::refused);
  EXPECT_EQ(Resamples({1, 2}, 1).bca(mean).error().category, Category::bad_input);
  EXPECT_EQ(resamples({50, 1, 0.95, 0}).bca(mean).error().category, Category::bad_input);
}

}  // namespace
}  // namespace lastlook::analytics
