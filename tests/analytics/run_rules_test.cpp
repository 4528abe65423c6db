// SPDX-License-Identifier: Apache-2.0
#include "analytics/run_rules.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace lastlook::analytics {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

std::vector<RunSignal> runs(const std::vector<double>& z, Question question,
                            const std::vector<std::size_t>& breaks = {}) {
  return find_runs({z.begin(), z.end()}, {question}, breaks);
}

std::vector<std::size_t> points(const std::vector<RunSignal>& signals) {
  std::vector<std::size_t> out;
  for (const RunSignal& s : signals) out.push_back(s.point);
  return out;
}

// Western Electric, Statistical Quality Control Handbook (1956): two of three beyond two sigmas.
TEST(Jump, TwoOfThreeBeyondTwoSigmasOnOneSide) {
  EXPECT_THAT(points(runs({2.1, 0, 2.1}, Question::jump)), ElementsAre(2));
  EXPECT_THAT(points(runs({2.1, 2.1, 0}, Question::jump)), ElementsAre(1));
  EXPECT_THAT(points(runs({-2.1, 0, -2.5}, Question::jump)), ElementsAre(2));
  EXPECT_THAT(points(runs({2.1, 0, -2.1}, Question::jump)), IsEmpty());
  EXPECT_THAT(points(runs({2.1, 0, 0, 2.1}, Question::jump)), IsEmpty());
  EXPECT_THAT(points(runs({2.0, 2.0, 2.0}, Question::jump)), IsEmpty());  // on the border
}

// Western Electric (1956): four of five beyond one sigma; eight on one side.
TEST(Drift, FourOfFiveAndEightOnOneSide) {
  EXPECT_THAT(points(runs({1.1, 1.1, 0, 1.1, 1.1}, Question::drift)), ElementsAre(4));
  EXPECT_THAT(points(runs({1.1, 1.1, 0, 0, 1.1, 1.1}, Question::drift)), IsEmpty());
  EXPECT_THAT(points(runs(std::vector<double>(9, -0.5), Question::drift)), ElementsAre(7, 8));
  EXPECT_THAT(points(runs(std::vector<double>(20, 0), Question::drift)), IsEmpty());
}

// ISO 7870-2 (from memory): seven successive rises or falls.
TEST(Drift, SevenStepsInOneDirection) {
  const auto up = runs({-0.3, -0.2, -0.1, 0, 0.1, 0.2, 0.3, 0.4}, Question::drift);
  ASSERT_EQ(up.size(), 1U);
  EXPECT_EQ(up[0].point, 7U);
  EXPECT_EQ(up[0].first, 0U);
  EXPECT_EQ(up[0].reason, "7 steps up in a row");
  EXPECT_THAT(runs({-0.3, -0.2, -0.1, -0.1, 0, 0.1, 0.2, 0.3, 0.4}, Question::drift), IsEmpty());
}

TEST(Cycle, TurnsAndMixtures) {
  std::vector<double> turns;
  for (int i = 0; i < 15; ++i) turns.push_back(i % 2 == 0 ? 0.5 : -0.5);
  EXPECT_THAT(points(runs(turns, Question::cycle)), ElementsAre(13, 14));
  const std::vector<double> mixed = {1.2, 1.3, -1.2, -1.1, 1.5, -1.6, -1.2, 1.4};
  EXPECT_THAT(points(runs(mixed, Question::cycle)), ElementsAre(7));
  EXPECT_THAT(points(runs(std::vector<double>(8, 1.5), Question::cycle)), IsEmpty());
}

TEST(Runs, EndAtGapsAndAtNewPhases) {
  std::vector<std::optional<double>> gap(9, 0.5);
  gap[4] = std::nullopt;
  EXPECT_THAT(find_runs(gap, {Question::drift}), IsEmpty());
  EXPECT_THAT(runs(std::vector<double>(9, 0.5), Question::drift, {0, 4}), IsEmpty());
}

}  // namespace
}  // namespace lastlook::analytics
