// SPDX-License-Identifier: Apache-2.0
#include "analytics/pareto.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/analytics/references.h"

namespace lastlook::analytics {
namespace {

using testing::ElementsAre;

std::vector<std::string> names(const ParetoTable& table) {
  std::vector<std::string> out;
  for (const ParetoRow& row : table.rows) out.push_back(row.name);
  return out;
}

std::vector<std::string> few(const ParetoTable& table) {
  std::vector<std::string> out;
  for (const ParetoRow& row : table.rows) {
    if (row.few) out.push_back(row.name);
  }
  return out;
}

ParetoTable table_of(const std::vector<std::pair<std::string, int>>& kinds) {
  ParetoCounter counter;
  for (const auto& [name, count] : kinds) counter.add(name, count);
  return counter.table();
}

// Institute for Healthcare Improvement, Open School, worked example of 200 findings.
TEST(Pareto, WorkedExample) {
  const auto example = references::load("07_pareto.json")["datasets"]["ihi_medication_errors"];
  ParetoCounter counter;
  for (const auto& row : example["rows"]) {
    counter.add(row["category"].get<std::string>(), row["count"].get<int>());
  }
  const ParetoTable table = counter.table();
  EXPECT_EQ(table.total, example["total"]);
  ASSERT_EQ(table.rows.size(), example["rows"].size());
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    EXPECT_EQ(table.rows[i].name, example["rows"][i]["category"]);
    EXPECT_EQ(table.rows[i].rank, static_cast<int>(i) + 1);
    EXPECT_NEAR(table.rows[i].percent, example["rows"][i]["pct"], 1e-12);
    EXPECT_NEAR(table.rows[i].cumulative_percent, example["rows"][i]["cum_pct"], 1e-12);
  }
  references::expect_check(example["checks"]["first"], table.rows[0].percent, "first");
  references::expect_check(example["checks"]["second"], table.rows[1].percent, "second");
  references::expect_check(example["checks"]["cum2"], table.rows[1].cumulative_percent, "running");
  EXPECT_THAT(few(table), ElementsAre("wrong dose", "wrong time"));
}

TEST(Pareto, TiesByNameAndTheRestLast) {
  const auto example = references::load("07_pareto.json")["datasets"]["tie_rule_test_made_up"];
  ParetoCounter counter;
  for (const auto& row : example["input"]) {
    counter.add(row[0].get<std::string>(), row[1].get<int>());
  }
  const ParetoTable table = counter.table();
  EXPECT_EQ(names(table),
            example["expected_order_with_other_last"].get<std::vector<std::string>>());
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    EXPECT_NEAR(table.rows[i].cumulative_percent, example["cum_pct"][i], 1e-12);
  }
  EXPECT_THAT(names(table_of({{"lid", 2}, {"burr", 2}, {"seal", 2}})),
              ElementsAre("burr", "lid", "seal"));
}

TEST(Pareto, SameNameIsOneKind) {
  const ParetoTable table = table_of({{"lid", 2}, {"seal", 3}, {"lid", 2}});
  EXPECT_THAT(names(table), ElementsAre("lid", "seal"));
  EXPECT_EQ(table.rows[0].count, 4);
}

TEST(Pareto, OrdersByWeightAndKeepsTheCounts) {
  ParetoCounter counter;
  counter.add("scratch", 9, 1);
  counter.add("seal", 2, 10);
  const ParetoTable table = counter.table();
  EXPECT_THAT(names(table), ElementsAre("seal", "scratch"));
  EXPECT_EQ(table.total, 11);
  EXPECT_DOUBLE_EQ(table.total_value, 29);
  EXPECT_DOUBLE_EQ(table.rows[0].percent, 100.0 * 20 / 29);
}

TEST(Pareto, TheFewTakeInWhoeverTiesWithTheLastOfThem) {
  EXPECT_THAT(
      few(table_of(
          {{"a", 40}, {"b", 30}, {"c", 10}, {"d", 10}, {"e", 4}, {"f", 3}, {"g", 2}, {"h", 1}})),
      ElementsAre("a", "b", "c", "d"));
}

TEST(Pareto, NoFewWhereNothingStandsOut) {
  const ParetoTable table = table_of({{"a", 5}, {"b", 5}, {"c", 5}, {"d", 5}, {"e", 4}});
  EXPECT_TRUE(few(table).empty());
  EXPECT_THAT(table.few_rule, testing::HasSubstr("no few"));
}

TEST(Pareto, NothingCounted) {
  EXPECT_EQ(table_of({}).total, 0);
  EXPECT_EQ(table_of({}).few_rule, "nothing was found");
  const ParetoTable table = table_of({{"lid", 0}});
  ASSERT_EQ(table.rows.size(), 1U);
  EXPECT_DOUBLE_EQ(table.rows[0].percent, 0);
}

TEST(Folded, GathersTheSmallKindsAndKeepsTheTotal) {
  const ParetoTable table =
      table_of({{"a", 9}, {"b", 8}, {"c", 3}, {"d", 2}, {"other", 7}, {"e", 1}});
  const ParetoTable short_table = folded(table, 3);
  EXPECT_THAT(names(short_table), ElementsAre("a", "b", "all the rest (4 kinds)"));
  EXPECT_EQ(short_table.rows.back().count, 13);
  EXPECT_DOUBLE_EQ(short_table.rows.back().cumulative_percent, 100);
  EXPECT_EQ(names(folded(table, 6)), names(table));
}

}  // namespace
}  // namespace lastlook::analytics
