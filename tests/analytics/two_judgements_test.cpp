// SPDX-License-Identifier: Apache-2.0
#include "analytics/two_judgements.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "analytics/table_chart.h"
#include "tests/analytics/chart_boxes.h"

namespace lastlook::analytics {
namespace {

using testing::Contains;
using testing::HasSubstr;

void add(std::vector<JudgedTwice>& all, int count, std::size_t a, std::size_t b) {
  for (int i = 0; i < count; ++i) all.push_back({std::to_string(all.size()), a, b, 1});
}

// Fleiss, Cohen & Everitt (1969), table 1, n = 200 as counts: kappa 0.429 (three categories).
std::vector<JudgedTwice> diagnoses() {
  std::vector<JudgedTwice> all;
  const int cells[3][3] = {{106, 10, 4}, {22, 28, 10}, {2, 12, 6}};
  for (std::size_t i = 0; i < 3; ++i)
    for (std::size_t j = 0; j < 3; ++j) add(all, cells[i][j], i, j);
  return all;
}

TEST(TwoJudgements, GiveThePublishedKappa) {
  const TwoJudgements judged = two_judgements(diagnoses(), 3);
  ASSERT_TRUE(judged.kappa);
  EXPECT_NEAR(*judged.kappa, 0.429, 0.0005);
  EXPECT_DOUBLE_EQ(*judged.alike, 0.7);
  EXPECT_EQ(judged.counts(1, 0), 22);
  ASSERT_TRUE(judged.limits);
  // Their large-sample standard error, 0.0536, times 1.96.
  EXPECT_NEAR(judged.limits->low, 0.429 - 1.96 * 0.0536, 0.02);
  EXPECT_NEAR(judged.limits->high, 0.429 + 1.96 * 0.0536, 0.02);
}

// The same answers as if ten of them were always of one unit: there is less evidence.
TEST(TwoJudgements, WhatBelongsToOneUnitIsResampledTogether) {
  std::vector<JudgedTwice> alone = diagnoses();
  std::vector<JudgedTwice> together = alone;
  for (std::size_t i = 0; i < together.size(); ++i) together[i].unit = std::to_string(i / 10);
  const TwoJudgements apart = two_judgements(alone, 3);
  const TwoJudgements tied = two_judgements(together, 3);
  EXPECT_EQ(*apart.kappa, *tied.kappa);
  EXPECT_GT(tied.limits->high - tied.limits->low, 1.5 * (apart.limits->high - apart.limits->low));
}

TEST(TwoJudgements, SayWhyThereIsNothing) {
  EXPECT_EQ(two_judgements({}, 2).kappa.error().category, Category::refused);
  std::vector<JudgedTwice> all;
  add(all, 20, 0, 0);
  const TwoJudgements one_word = two_judgements(all, 2);
  EXPECT_DOUBLE_EQ(*one_word.alike, 1);
  EXPECT_FALSE(one_word.kappa);
  EXPECT_FALSE(one_word.limits);
  add(all, 5, 1, 1);
  const TwoJudgements perfect = two_judgements(all, 2);
  EXPECT_DOUBLE_EQ(*perfect.kappa, 1);
  EXPECT_EQ(perfect.limits.error().category, Category::refused);
}

// Fourteen units drawn at 0.3 agree, ten of one kind and four of the other: no width of 0.
TEST(TwoJudgements, AllAlikeHaveNoLimitsWhateverTheyStandFor) {
  std::vector<JudgedTwice> all;
  for (int i = 0; i < 14; ++i) {
    const std::size_t kind = i < 10 ? 0 : 1;
    all.push_back({std::to_string(i), kind, kind, 1 / 0.3});
  }
  const TwoJudgements judged = two_judgements(all, 3);
  EXPECT_NEAR(*judged.kappa, 1, 1e-12);
  EXPECT_EQ(judged.limits.error().category, Category::refused);
  EXPECT_THAT(judged.alike_limits.error().message, HasSubstr("all agree"));
}

// Twenty units of weight 1 that agree and twenty of weight 20 that all differ: how many of each
// kind were drawn is chance too, so the share of agreement is not known to be 1 in 21.
TEST(TwoJudgements, HowManyOfEachKindWereDrawnIsInDoubtToo) {
  std::vector<JudgedTwice> all;
  add(all, 20, 0, 0);
  for (int i = 0; i < 20; ++i) all.push_back({"r" + std::to_string(i), 0, 1, 20});
  const TwoJudgements judged = two_judgements(all, 2);
  EXPECT_NEAR(*judged.alike, 1.0 / 21, 1e-12);
  ASSERT_TRUE(judged.alike_limits);
  EXPECT_LT(judged.alike_limits->low, 0.035);
  EXPECT_GT(judged.alike_limits->high, 0.065);
}

JudgementTable table_of(const std::string& words) {
  const TwoJudgements judged = two_judgements(diagnoses(), 3);
  Matrix weighted = judged.weighted;
  for (std::size_t i = 0; i < 3; ++i)
    for (std::size_t j = 0; j < 3; ++j) weighted(i, j) *= 20;
  return {"people", "camera", {"conforming", words, "unsure"}, judged.counts, weighted, "alike"};
}

TEST(JudgementTableChart, HoldsCountsAndWhatTheyStandFor) {
  const WideSansMeasure measure;
  const Chart chart =
      judgement_table_chart(table_of("nonconforming"), {760, 360, 14, "T"}, measure);
  std::vector<std::string> all;
  for (const Text& text : texts(chart)) all.push_back(text.text);
  for (const char* words : {"106", "for 2120", "22", "people", "camera"})
    EXPECT_THAT(all, Contains(words));
  EXPECT_EQ(bars(chart).size(), 3U);  // the diagonal
}

TEST(JudgementTableChart, NoTextTouchesAnother) {
  const WideSansMeasure measure;
  for (const auto& [width, height] : kSizes)
    for (const char* words : {"no", "a category whose name is long, much longer than its column"})
      expect_clean(
          judgement_table_chart(table_of(words), {width, height, 14, "Do they agree?"}, measure),
          measure);
}

}  // namespace
}  // namespace lastlook::analytics
