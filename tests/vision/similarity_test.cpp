// SPDX-License-Identifier: Apache-2.0
#include "vision/similarity.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <random>

namespace lastlook::vision {
namespace {

const cv::Rect2d area(100, 100, 900, 600);

struct Drawn {
  std::vector<cv::Point2d> from, to;
};

// Pairs all over the area; those of one of its nine parts err together by `common` and each by
// `own`, px.
Drawn draw(std::mt19937& random, double common, double own, int pairs = 54) {
  std::normal_distribution<double> normal;
  std::uniform_real_distribution<double> within(0, 1);
  std::array<cv::Point2d, 9> shared;
  for (cv::Point2d& error : shared) error = {common * normal(random), common * normal(random)};
  Drawn drawn;
  for (int i = 0; i < pairs; ++i) {
    const cv::Point2d at(area.x + (i % 3 + within(random)) * area.width / 3,
                         area.y + (i / 3 % 3 + within(random)) * area.height / 3);
    drawn.from.push_back(at);
    drawn.to.push_back(at + shared[static_cast<std::size_t>(i % 9)] +
                       cv::Point2d(own * normal(random), own * normal(random)));
  }
  return drawn;
}

TEST(Spread, IsTheErrorThatPairsOfAPartMakeTogether) {
  std::mt19937 random(7);
  double errors = 0;
  double spreads = 0;
  for (int i = 0; i < 400; ++i) {
    const Drawn drawn = draw(random, 0.2, 0.2);
    const Similarity fit = fit_robustly(drawn.from, drawn.to);
    const double spread = spread_px(drawn.from, drawn.to, fit.weight, area);
    errors += std::pow(cv::norm(apply(fit.to_picture, area.tl()) - area.tl()), 2);
    spreads += spread * spread;
  }
  // The worst of four corners is more than one of them; leaving out single pairs would say half.
  EXPECT_GT(spreads, 0.9 * errors);
  EXPECT_LT(spreads, 2 * errors);
}

TEST(Spread, GrowsAsThePairsErrAndAsTheyGetFewer) {
  std::mt19937 random(3);
  const auto spread_of = [&](double common, int pairs) {
    double sum = 0;
    for (int i = 0; i < 50; ++i) {
      const Drawn drawn = draw(random, common, 0.3, pairs);
      sum += spread_px(drawn.from, drawn.to, fit_robustly(drawn.from, drawn.to).weight, area);
    }
    return sum / 50;
  };
  EXPECT_GT(spread_of(1, 54), 2 * spread_of(0.2, 54));
  EXPECT_GT(spread_of(0, 12), 1.5 * spread_of(0, 108));
}

TEST(Spread, IsInfiniteWhereAllPairsLieInThreeParts) {
  std::mt19937 random(1);
  Drawn drawn = draw(random, 0, 0.1);
  Drawn crowded;
  for (std::size_t i = 0; i < drawn.from.size(); ++i) {
    if (drawn.from[i].y > area.y + area.height / 3) continue;
    crowded.from.push_back(drawn.from[i]);
    crowded.to.push_back(drawn.to[i]);
  }
  ASSERT_GT(crowded.from.size(), 12U);
  const Similarity fit = fit_robustly(crowded.from, crowded.to);
  EXPECT_TRUE(std::isinf(spread_px(crowded.from, crowded.to, fit.weight, area)));
}

}  // namespace
}  // namespace lastlook::vision
