// SPDX-License-Identifier: Apache-2.0
#include "analytics/paired_tests.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/analytics/references.h"

namespace lastlook::analytics {
namespace {

using nlohmann::json;
using references::expect_check;
using references::expect_computed;

json datasets() {
  return references::load("08_rank_and_paired_tests.json")["datasets"];
}

// Agresti (1990) Categorical Data Analysis, p. 350: approval in two surveys of 1600.
TEST(McNemar, ApprovalInTwoSurveys) {
  const json data = datasets()["mcnemar_approval"];
  const auto test = mcnemar(data["table"][0][1], data["table"][1][0], 1600);
  ASSERT_TRUE(test);
  expect_check(data["checks"]["z2"], test->chi_squared, "chi squared");
  expect_check(data["checks"]["z"], std::sqrt(test->chi_squared), "z");
  expect_check(data["checks"]["diff"], test->difference, "difference");
  expect_check(data["checks"]["se"], test->se, "error");
  expect_check(data["checks"]["lo"], test->limits.low, "low");
  expect_check(data["checks"]["hi"], test->limits.high, "high");
  expect_computed(data["computed"]["p_exact"], test->p_value, "p");
}

TEST(McNemar, ExactForSmallCounts) {
  const json cases = datasets()["mcnemar_exact_small"];
  for (const json& one : cases) {
    expect_check(one["check"], mcnemar(one["b"], one["c"], 100)->p_value, one.dump());
  }
  EXPECT_DOUBLE_EQ(mcnemar(0, 0, 10)->p_value, 1);
  EXPECT_FALSE(mcnemar(0, 0, 0));
  EXPECT_FALSE(mcnemar(5, 6, 10));
}

// Siegel (1956) Nonparametric Statistics, ch. 7: 18 sets of three interviews.
TEST(CochranQ, ThreeInterviews) {
  const json data = datasets()["cochran_q_siegel"];
  std::vector<std::vector<bool>> yes;
  for (const json& row : data["data"]) {
    auto& unit = yes.emplace_back();
    for (const int answer : row) unit.push_back(answer == 1);
  }
  const auto q = cochran_q(yes);
  expect_check(data["checks"]["Q"], q->value, "Q");
  expect_computed(data["computed"]["p"], q->p_value, "p");
  EXPECT_DOUBLE_EQ(q->degrees_of_freedom, 2);
}

TEST(CochranQ, RefusesWhereNobodyDiffers) {
  EXPECT_EQ(cochran_q({{true, true}, {false, false}}).error().category, Category::refused);
  EXPECT_EQ(cochran_q({{true, true}, {false}}).error().category, Category::bad_input);
  EXPECT_FALSE(cochran_q({}));
}

// Siegel (1956), ch. 9: three executives rank six applicants; ProofWiki: four judges, three
// competitors.
TEST(KendallW, PublishedRankings) {
  for (const char* name : {"kendall_w_siegel", "kendall_w_proofwiki"}) {
    const json data = datasets()[name];
    const auto w = kendall_w(data["ranks"].get<std::vector<std::vector<double>>>());
    expect_check(data["checks"]["W"], w->w, name);
    expect_computed(data["computed"]["chi2"], w->test.value, name);
    expect_computed(data["computed"]["p"], w->test.p_value, name);
  }
}

TEST(KendallW, SeveritiesWithTies) {
  EXPECT_NEAR(kendall_w({{1, 1, 2, 3}, {1, 1, 2, 3}})->w, 1, 1e-12);
  EXPECT_FALSE(kendall_w({{1, 1}, {2, 2}}));
  EXPECT_FALSE(kendall_w({{1, 2}}));
}

// Siegel (1956), ch. 9: 12 students; and an example with ties by scipy 1.10.1.
TEST(KendallTauB, WithAndWithoutTies) {
  const json siegel = datasets()["kendall_tau_siegel"];
  expect_check(siegel["checks"]["tau"], *kendall_tau_b(siegel["x"], siegel["y"]), "tau");
  const json ties = datasets()["tau_b_with_ties_computed"];
  expect_computed(ties["tau_b"], *kendall_tau_b(ties["x"], ties["y"]), "tau-b");
  EXPECT_FALSE(kendall_tau_b({1, 1}, {1, 2}));
  EXPECT_FALSE(kendall_tau_b({1, 2}, {1}));
  EXPECT_FALSE(kendall_tau_b({1}, {1}));
}

}  // namespace
}  // namespace lastlook::analytics
