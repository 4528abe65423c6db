// SPDX-License-Identifier: Apache-2.0
#include "analytics/bootstrap.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace lastlook::analytics {
namespace {

using testing::HasSubstr;

const std::vector<double> kSkewed = {1.2, 3.4, 2.2, 5.6, 0.3, 4.4, 2.9, 8.8,
                                     1.1, 2.0, 3.3, 7.7, 0.9, 1.6, 2.5};

std::optional<double> weighted_mean(const std::vector<std::uint32_t>& times) {
  double sum = 0;
  double n = 0;
  for (std::size_t i = 0; i < times.size(); ++i) {
    sum += kSkewed[i] * times[i];
    n += times[i];
  }
  return sum / n;
}

// scipy.stats.bootstrap 1.10.1, BCa, 200,000 resamples, three seeds: 2.193 to 2.200 and 4.693
// to 4.707.
TEST(Bca, MeanOfSkewedNumbersAsScipy) {
  BootstrapOptions options;
  options.resamples = 200000;
  options.seed = 7;
  const auto interval = bca_interval(kSkewed.size(), weighted_mean, options);
  ASSERT_TRUE(interval);
  EXPECT_NEAR(interval->low, 2.196, 0.02);
  EXPECT_NEAR(interval->high, 4.700, 0.02);
}

TEST(Bca, DependsOnTheSeedAndNotOnTheThreads) {
  const auto with = [](std::uint64_t seed, unsigned threads) {
    return *bca_interval(kSkewed.size(), weighted_mean, {500, seed, 0.95, threads});
  };
  EXPECT_EQ(with(1, 1).low, with(1, 4).low);
  EXPECT_EQ(with(1, 1).high, with(1, 4).high);
  EXPECT_NE(with(1, 1).low, with(2, 1).low);
}

TEST(Bca, RefusesWhatShowsNoDoubt) {
  const auto constant = bca_interval(20, [](const auto&) { return 1.0; });
  EXPECT_THAT(constant.error().message, HasSubstr("never changes"));
  const auto rare = bca_interval(20, [](const std::vector<std::uint32_t>& times) {
    return times[0] > 0 ? std::optional(static_cast<double>(times[0])) : std::nullopt;
  });
  EXPECT_THAT(rare.error().message, HasSubstr("undefined"));
  EXPECT_FALSE(bca_interval(2, weighted_mean));
  EXPECT_FALSE(bca_interval(20, [](const auto&) { return std::optional<double>(); }));
}

}  // namespace
}  // namespace lastlook::analytics
