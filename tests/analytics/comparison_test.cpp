// SPDX-License-Identifier: Apache-2.0
#include "analytics/comparison.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "analytics/comparison_chart.h"
#include "tests/analytics/chart_boxes.h"
#include "tests/analytics/references.h"

namespace lastlook::analytics {
namespace {

using testing::HasSubstr;

// scipy.stats.fisher_exact 1.10.1; the first is the tea tasting of Fisher (1935), printed as 0.486
// (from memory).
TEST(FisherExact, AsTheLibrary) {
  EXPECT_NEAR(*fisher_exact({3, 4}, {1, 4}), 0.48571428571428565, 1e-12);
  EXPECT_NEAR(*fisher_exact({12, 500}, {30, 500}), 0.00668667624830828, 1e-12);
  EXPECT_NEAR(*fisher_exact({0, 50}, {9, 50}), 0.002634204400259044, 1e-12);
  EXPECT_NEAR(*fisher_exact({5000, 100000}, {5200, 100000}), 0.04310490861242747, 1e-9);
  EXPECT_NEAR(*fisher_exact({7, 10}, {7, 10}), 1, 1e-12);
}

TEST(FisherExact, Edges) {
  EXPECT_DOUBLE_EQ(*fisher_exact({0, 0}, {3, 9}), 1);
  EXPECT_DOUBLE_EQ(*fisher_exact({0, 5}, {0, 9}), 1);
  EXPECT_DOUBLE_EQ(*fisher_exact({5, 5}, {9, 9}), 1);
  EXPECT_LT(*fisher_exact({100000, 100000}, {0, 100000}), 1e-300);
  EXPECT_FALSE(fisher_exact({6, 5}, {1, 2}));
  EXPECT_FALSE(fisher_exact({-1, 5}, {1, 2}));
}

// Newcombe (1998) 17:873, table II: 56/70 and 48/80 by method 10.
TEST(CompareShares, NewcombesLimits) {
  const auto data = references::load("09_differences_and_yield.json")["differences"]["56/70/48/80"];
  const auto rows = compare_shares({{"cell", {48, 80}, {56, 70}}});
  ASSERT_TRUE(rows);
  const Interval limits = *difference_interval({56, 70}, {48, 80});
  EXPECT_NEAR((*rows)[0].value, 0.2, 1e-12);
  EXPECT_NEAR((*rows)[0].limits->low, 0.0524, 0.00005);
  EXPECT_NEAR((*rows)[0].limits->high, 0.3339, 0.00005);
  EXPECT_DOUBLE_EQ((*rows)[0].limits->low, limits.low);
}

// Three p-values of 0.0067, 0.0026 and 1: Holm 2 x, 3 x, 1 x.
TEST(CompareShares, CorrectsOverEveryCell) {
  const std::vector<Cell> cells = {
      {"a", {30, 500}, {12, 500}}, {"b", {9, 50}, {0, 50}}, {"c", {7, 10}, {7, 10}}};
  const auto rows = *compare_shares(cells);
  EXPECT_NEAR(rows[0].adjusted_p, 2 * 0.00668667624830828, 1e-9);
  EXPECT_NEAR(rows[1].adjusted_p, 3 * 0.002634204400259044, 1e-9);
  EXPECT_TRUE(rows[0].changed && rows[1].changed && !rows[2].changed);
  ComparisonOptions shares;
  shares.correction = Correction::benjamini_hochberg;
  EXPECT_NEAR((*compare_shares(cells, shares))[0].adjusted_p, 1.5 * 0.00668667624830828, 1e-9);
}

TEST(CompareShares, SaysWhatIsWrong) {
  EXPECT_THAT(compare_shares({{"lid", {1, 0}, {1, 2}}}).error().message, HasSubstr("lid: 1 of 0"));
  EXPECT_THAT(compare_shares({{"lid", {1, 2}, {3, 2}}}).error().message, HasSubstr("lid: 3 of 2"));
  EXPECT_TRUE(compare_shares({})->empty());
}

std::vector<Batch> batches(const std::vector<std::int64_t>& hits, std::int64_t units) {
  std::vector<Batch> out;
  for (const std::int64_t h : hits) out.push_back({{h}, units});
  return out;
}

// All 20 ways to choose 3 of 6 batches: those at least as far from 0 as the data are the data
// themselves and their mirror, so p is 2/20; 9,999 exchanges know it to 0.01.
TEST(CompareBatches, ExchangesGiveTheExactP) {
  const auto rows = compare_batches({"lid"}, batches({1, 2, 3}, 20), batches({10, 12, 11}, 20));
  ASSERT_TRUE(rows);
  EXPECT_NEAR((*rows)[0].p_value, 0.1, 0.01);
  EXPECT_NEAR((*rows)[0].value, 27.0 / 60, 1e-12);
}

// scipy.stats.bootstrap of two samples (BCa, 200,000 resamples, numpy seed 1) on mean(after) -
// mean(before): 0.1625 to 0.2950.
TEST(CompareBatches, LimitsAsTheLibrary) {
  ComparisonOptions options;
  options.resampling.resamples = 50000;
  const auto rows = compare_batches({"lid"}, batches({2, 5, 3, 9, 4, 1, 6, 3, 2, 5}, 40),
                                    batches({12, 9, 20, 11, 15, 8, 17, 10, 13, 16}, 40), options);
  ASSERT_TRUE((*rows)[0].limits);
  EXPECT_NEAR((*rows)[0].limits->low, 0.1625, 0.003);
  EXPECT_NEAR((*rows)[0].limits->high, 0.2950, 0.003);
}

// Two batches that differ as much as the periods do: alone each finding would be proof.
TEST(CompareBatches, ClusteredBatchesClaimLess) {
  const auto before = batches({0, 40, 0, 38, 1, 0}, 100);
  const auto after = batches({45, 0, 50, 1, 48, 2}, 100);
  const auto clustered = compare_batches({"lid"}, before, after);
  const auto alone = compare_shares({{"lid", {79, 600}, {146, 600}}});
  EXPECT_TRUE((*alone)[0].changed);
  EXPECT_FALSE((*clustered)[0].changed);
  EXPECT_GT((*clustered)[0].limits->high - (*clustered)[0].limits->low,
            3 * ((*alone)[0].limits->high - (*alone)[0].limits->low));
}

TEST(CompareBatches, NeedsThreeOfEach) {
  const auto rows = compare_batches({"lid"}, batches({1, 2}, 9), batches({1, 2, 3}, 9));
  EXPECT_EQ(rows.error().category, Category::refused);
  EXPECT_THAT(rows.error().message, HasSubstr("at least 3"));
}

std::vector<Difference> many(std::size_t count) {
  std::vector<Cell> cells;
  for (std::size_t i = 0; i < count; ++i) {
    const auto hits = static_cast<std::int64_t>(i * 7 % 40);
    cells.push_back({i % 3 == 0 ? "connector seal: cut or torn while being fitted"
                                : "kind " + std::to_string(i),
                     {hits, 400},
                     {(hits * 5 + 90) % 200, 500}});
  }
  return *compare_shares(cells);
}

TEST(ComparisonChart, TextNeverOverlaps) {
  const WideSansMeasure measure;
  for (const auto& [width, height] : kSizes) {
    for (const std::size_t count : {1U, 8U, 60U}) {
      ComparisonChartOptions options;
      options.frame = {width, height, 14, "What really changed"};
      options.rule = "Holm over 60 cells, 5 %";
      const Chart chart = comparison_chart(many(count), options, measure);
      expect_clean(chart, measure);
    }
  }
}

TEST(ComparisonChart, ChangedCellsStandFirstWithADiamond) {
  const WideSansMeasure measure;
  const auto rows =
      compare_shares({{"same", {50, 500}, {50, 500}}, {"worse", {5, 500}, {60, 500}}});
  const Chart chart = comparison_chart(*rows, {{800, 300, 14, ""}, ""}, measure);
  EXPECT_EQ(texts_of(chart, Role::title).front(), "worse");
  EXPECT_EQ(texts_of(chart, Role::label).front(), "same");
  int diamonds = 0;
  for (const Mark& mark : chart.marks) {
    const auto* symbol = std::get_if<Symbol>(&mark);
    diamonds += symbol && symbol->glyph == Glyph::diamond ? 1 : 0;
  }
  EXPECT_EQ(diamonds, 1);
}

}  // namespace
}  // namespace lastlook::analytics
