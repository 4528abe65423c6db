// SPDX-License-Identifier: Apache-2.0
#include "analytics/group_agreement.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include "tests/analytics/references.h"

namespace lastlook::analytics {
namespace {

using nlohmann::json;
using references::expect_check;
using references::expect_computed;

json datasets() {
  return references::load("04_multi_rater_agreement.json")["datasets"];
}

RatingColumns columns(const json& rows, std::size_t lowest) {
  RatingColumns out;
  for (const auto& row : rows) {
    auto& item = out.emplace_back();
    for (const auto& cell : row) {
      item.push_back(cell.is_null() ? std::nullopt
                                    : std::optional(cell.get<std::size_t>() - lowest));
    }
  }
  return out;
}

// Fleiss (1971) Psychol Bull 76:378, Table 1; error of Fleiss, Nee & Landis (1979).
TEST(Fleiss, DiagnosesOfThirtyPatients) {
  const json data = datasets()["fleiss_1971_diagnoses"];
  const auto counts = data["counts"].get<CategoryCounts>();
  const auto k = fleiss_kappa(counts);
  ASSERT_TRUE(k);
  expect_check(data["checks"]["kappa"], k->value, "kappa");
  expect_computed(data["computed"]["P_bar"], k->observed, "observed");
  expect_computed(data["computed"]["P_e"], k->expected, "expected");
  expect_computed(data["computed"]["se0"], *fleiss_se_null(counts), "se0");
  expect_check(data["checks"]["z"], k->value / *fleiss_se_null(counts), "z");
  expect_computed(data["computed"]["se_gwet"], k->se, "se by items");
  // The printed variance divides by N^2, the error here by N (N - 1).
  expect_check(data["checks"]["var"], k->se * k->se * 29 / 30, "variance by items");
}

TEST(Fleiss, EachCategory) {
  const json data = datasets()["fleiss_1971_diagnoses"];
  const auto counts = data["counts"].get<CategoryCounts>();
  for (std::size_t c = 0; c < 5; ++c) {
    const auto k = fleiss_kappa_of(counts, c);
    ASSERT_TRUE(k);
    expect_check(data["checks"][fmt::format("k{}", c + 1)], k->value, "category");
    expect_computed(data["computed"]["se_j0"], k->se_null, "se0 of category");
  }
}

TEST(LightAndConger, DiagnosesInColumns) {
  const json data = datasets()["fleiss_1971_diagnoses"];
  const RatingColumns ratings = columns(data["ratings_in_irr_order"], 1);
  expect_check(data["checks"]["light"], *light_kappa(ratings, 5), "Light");
  expect_check(data["checks"]["conger"], *conger_kappa(ratings, 5), "Conger");
}

// The kappa of two columns: Conger's is Cohen's.
TEST(Conger, EqualsCohenForTwoRaters) {
  const json data = datasets()["fleiss_1971_diagnoses"];
  RatingColumns two = columns(data["ratings_in_irr_order"], 1);
  Matrix table(5);
  for (auto& row : two) {
    row.resize(2);
    table(*row[0], *row[1]) += 1;
  }
  EXPECT_NEAR(*conger_kappa(two, 5), kappa(table)->value, 1e-14);
  EXPECT_NEAR(*light_kappa(two, 5), kappa(table)->value, 1e-14);
}

// Krippendorff (2011) Computing Krippendorff's Alpha-Reliability: 4 observers, 12 units, gaps.
TEST(Krippendorff, FourObserversWithMissingRatings) {
  const json data = datasets()["krippendorff_4x12"];
  const RatingColumns by_rater = columns(data["ratings"], 1);
  RatingColumns by_item(12, std::vector<std::optional<std::size_t>>(4));
  for (std::size_t r = 0; r < 4; ++r) {
    for (std::size_t i = 0; i < 12; ++i) by_item[i][r] = by_rater[r][i];
  }
  const CategoryCounts counts = count_categories(by_item, 5);
  expect_check(data["checks"]["nominal7"], *krippendorff_alpha(counts), "nominal");
  expect_check(data["checks"]["nominal"], *krippendorff_alpha(counts), "nominal");
  expect_check(data["checks"]["ordinal"], *krippendorff_alpha(counts, Scale::ordinal), "ordinal");
}

TEST(GroupAgreement, RefusesWhatChanceAloneExplains) {
  const CategoryCounts constant = {{3, 0}, {3, 0}};
  EXPECT_FALSE(fleiss_kappa(constant));
  EXPECT_FALSE(fleiss_se_null(constant));
  EXPECT_FALSE(krippendorff_alpha(constant));
  EXPECT_NEAR(gwet_ac(constant)->value, 1, 1e-15);  // what AC1 was made for
  const CategoryCounts single = {{1, 0}, {0, 1}};
  EXPECT_FALSE(fleiss_kappa(single));
  EXPECT_FALSE(krippendorff_alpha(single));
  EXPECT_FALSE(gwet_ac(single));
  EXPECT_FALSE(fleiss_kappa({}));
}

TEST(FleissSeNull, NeedsTheSameNumberOfRatings) {
  EXPECT_FALSE(fleiss_se_null({{2, 1}, {1, 1}}));
  EXPECT_TRUE(fleiss_kappa({{2, 1}, {1, 1}}));
}

}  // namespace
}  // namespace lastlook::analytics
