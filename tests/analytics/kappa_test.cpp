// SPDX-License-Identifier: Apache-2.0
#include "analytics/kappa.h"

#include <gtest/gtest.h>

#include "analytics/group_agreement.h"
#include "tests/analytics/references.h"

namespace lastlook::analytics {
namespace {

using nlohmann::json;
using references::expect_check;
using references::expect_computed;

json datasets() {
  return references::load("03_cohen_kappa.json")["datasets"];
}

Matrix matrix(const json& rows) {
  return Matrix(rows.get<std::vector<std::vector<double>>>());
}

void expect_kappa(const json& computed, const Result<Kappa>& k, const std::string& what) {
  ASSERT_TRUE(k) << what;
  expect_computed(computed["po"], k->observed, what + " po");
  expect_computed(computed["pe"], k->expected, what + " pe");
  expect_computed(computed["kappa"], k->value, what + " kappa");
  expect_computed(computed["se"], k->se, what + " se");
  expect_computed(computed["se0"], k->se_null, what + " se0");
  const auto limits = kappa_interval(k->value, k->se);
  expect_computed(computed["ci95"][0], limits->low, what + " low");
  expect_computed(computed["ci95"][1], limits->high, what + " high");
}

// Cohen (1960), (1968); Fleiss, Cohen & Everitt (1969); Agresti (1990). Standard errors by R vcd.
TEST(Kappa, UnweightedLinearAndQuadratic) {
  for (const char* name : {"cohen_1960_1968", "fleiss_cohen_everitt_1969", "sexual_fun"}) {
    const json data = datasets()[name];
    const Matrix counts = matrix(data.contains("counts") ? data["counts"] : data["table"]);
    const std::string what = name;
    expect_kappa(data["computed"]["unweighted"], kappa(counts), what);
    expect_kappa(data["computed"]["linear"], kappa(counts, Weights::linear), what + " linear");
    expect_kappa(data["computed"]["quadratic"], kappa(counts, Weights::quadratic),
                 what + " quadratic");
  }
  const json printed = datasets()["sexual_fun"];
  expect_check(printed["checks"]["k"], kappa(matrix(printed["table"]))->value, "as printed");
}

// Agreement weights from disagreement weights: 1 - d / largest d.
Matrix from_disagreement(const json& rows) {
  Matrix w = matrix(rows);
  double most = 0;
  for (std::size_t i = 0; i < w.size(); ++i) {
    for (std::size_t j = 0; j < w.size(); ++j) most = std::max(most, w(i, j));
  }
  for (std::size_t i = 0; i < w.size(); ++i) {
    for (std::size_t j = 0; j < w.size(); ++j) w(i, j) = 1 - w(i, j) / most;
  }
  return w;
}

// Cohen (1960) Educ Psychol Meas 20:37; Cohen (1968) Psychol Bull 70:213.
TEST(Kappa, CohensOwnExamples) {
  const json data = datasets()["cohen_1960_1968"];
  const Matrix counts = matrix(data["counts"]);
  expect_check(data["checks"]["kappa"], kappa(counts)->value, "1960");
  const Matrix ratio = from_disagreement(data["disagreement_weights"]);
  expect_check(data["checks"]["weighted"], kappa(counts, ratio)->value, "1968");
  expect_kappa(data["computed"]["weighted_ratio"], kappa(counts, ratio), "1968");
  expect_check(data["checks"]["nonsym"],
               kappa(counts, from_disagreement(data["nonsymmetric_weights"]))->value, "nonsym");
}

// Fleiss, Cohen & Everitt (1969) Psychol Bull 72:323: variances.
TEST(Kappa, LargeSampleVariance) {
  const json data = datasets()["fleiss_cohen_everitt_1969"];
  const auto plain = kappa(matrix(data["counts"]));
  const auto weighted = kappa(matrix(data["counts"]), matrix(data["similarity_weights"]));
  expect_check(data["checks"]["kappa"], plain->value, "kappa");
  expect_check(data["checks"]["var"], plain->se * plain->se, "variance");
  expect_check(data["checks"]["kw"], weighted->value, "weighted");
  expect_check(data["checks"]["varw"], weighted->se * weighted->se, "weighted variance");
}

CategoryCounts per_item(const Matrix& table) {
  CategoryCounts counts;
  for (std::size_t i = 0; i < table.size(); ++i) {
    for (std::size_t j = 0; j < table.size(); ++j) {
      std::vector<double> item(table.size());
      item[i] += 1;
      item[j] += 1;
      counts.insert(counts.end(), static_cast<std::size_t>(table(i, j)), item);
    }
  }
  return counts;
}

// Feinstein & Cicchetti (1990); Cicchetti & Feinstein (1990); Gwet (2008); Gerstman.
TEST(Kappa, TablesThatMislead) {
  const json tables = datasets()["paradox_tables"];
  for (const auto& [name, data] : tables.items()) {
    if (!data.is_object()) continue;
    const Matrix table = matrix(data["table"]);
    expect_kappa(data, kappa(table), name);
    const auto indices = two_rater_indices(table);
    expect_computed(data["prevalence_index"], indices->prevalence_index, name);
    expect_computed(data["bias_index"], indices->bias_index, name);
    expect_computed(data["pabak"], indices->pabak, name);
    const auto ac1 = gwet_ac(per_item(table));
    expect_computed(data["ac1"], ac1->value, name + " ac1");
    expect_check(data["checks"]["kappa"], kappa(table)->value, name);
    if (data["checks"].contains("ac1")) expect_check(data["checks"]["ac1"], ac1->value, name);
  }
}

TEST(Kappa, IsNotDefinedWithoutPairsOrWithOneCategory) {
  EXPECT_EQ(kappa(Matrix(2)).error().category, Category::refused);
  const auto one = kappa(matrix(json{{7, 0}, {0, 0}}));
  EXPECT_EQ(one.error().category, Category::refused);
  EXPECT_FALSE(one.error().message.empty());
}

TEST(Kappa, OneRaterConstantGivesZero) {
  EXPECT_NEAR(kappa(matrix(json{{7, 3}, {0, 0}}))->value, 0, 1e-15);
}

TEST(Kappa, PerfectAgreementHasNoInterval) {
  const auto k = kappa(matrix(json{{7, 0}, {0, 3}}));
  EXPECT_DOUBLE_EQ(k->value, 1);
  EXPECT_DOUBLE_EQ(k->se, 0);
  EXPECT_EQ(kappa_interval(k->value, k->se).error().category, Category::refused);
}

std::vector<RatedPair> pairs_of(const Matrix& table, std::size_t repeats) {
  std::vector<RatedPair> pairs;
  std::size_t item = 0;
  for (std::size_t i = 0; i < table.size(); ++i) {
    for (std::size_t j = 0; j < table.size(); ++j) {
      for (int n = 0; n < static_cast<int>(table(i, j)); ++n, ++item) {
        pairs.insert(pairs.end(), repeats, RatedPair{item, i, j});
      }
    }
  }
  return pairs;
}

TEST(KappaSeByItem, EqualsTheLargeSampleErrorWithOnePairAnItem) {
  const Matrix table = matrix(datasets()["cohen_1960_1968"]["counts"]);
  EXPECT_NEAR(*kappa_se_by_item(pairs_of(table, 1), 3), kappa(table)->se, 1e-14);
  EXPECT_NEAR(*kappa_se_by_item(pairs_of(table, 1), 3, Weights::quadratic),
              kappa(table, Weights::quadratic)->se, 1e-14);
}

// Copying every pair within its item adds no knowledge.
TEST(KappaSeByItem, DoesNotShrinkWhenTrialsRepeatThemselves) {
  const Matrix table = matrix(datasets()["cohen_1960_1968"]["counts"]);
  EXPECT_NEAR(*kappa_se_by_item(pairs_of(table, 3), 3), kappa(table)->se, 1e-14);
}

}  // namespace
}  // namespace lastlook::analytics
