// SPDX-License-Identifier: Apache-2.0
#include "analytics/agreement_limits.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "analytics/agreement.h"
#include "tests/analytics/references.h"

namespace lastlook::analytics {
namespace {

using testing::HasSubstr;

// AIAG Measurement Systems Analysis, 4th ed. (2010), Table III-C 1.
std::vector<StudyRow> handbook_rows() {
  const auto file = references::load("05_attribute_study_50x3x3.json");
  std::vector<StudyRow> rows;
  for (const auto& part : file["raw_data"]) {
    for (const char* name : {"A", "B", "C"}) {
      for (std::size_t t = 0; t < 3; ++t) {
        rows.push_back({part["part"].dump(), name, std::to_string(t), part[name][t].dump(),
                        part["reference"].dump(), 0});
      }
    }
  }
  return rows;
}

// Two ways to count an item once, one by formula and one by resampling, tell the same story.
TEST(ResampledLimits, AgreeWithTheErrorClusteredByItem) {
  const Study study = *make_study(handbook_rows());
  const Agreement agreement = agreement_of(study);
  const AgreementLimits limits = resampled_limits(study, {4000, 11, 0.95, 0});
  ASSERT_EQ(limits.pairs.size(), 3U);
  ASSERT_EQ(limits.with_reference.size(), 3U);
  for (std::size_t i = 0; i < 3; ++i) {
    const double width = limits.pairs[i]->high - limits.pairs[i]->low;
    EXPECT_NEAR(width / (2 * 1.96 * *agreement.pairs[i].se_by_item), 1, 0.15);
    EXPECT_LT(limits.pairs[i]->low, agreement.pairs[i].kappa->value);
    EXPECT_GT(limits.pairs[i]->high, agreement.pairs[i].kappa->value);
    EXPECT_LE(limits.pairs[i]->high, 1);  // which the formula does not promise
  }
  EXPECT_LT(limits.fleiss->low, agreement.group.fleiss->value);
  EXPECT_NEAR(limits.fleiss->high - limits.fleiss->low,
              agreement.group.fleiss_limits->high - agreement.group.fleiss_limits->low, 0.05);
  EXPECT_GT(limits.ac1->high, agreement.group.ac1->value);
  EXPECT_LT(limits.alpha->low, *agreement.group.alpha);
}

TEST(ResampledLimits, PerfectAgreementHasAReasonInstead) {
  auto rows = handbook_rows();
  for (StudyRow& row : rows) row.rating = row.reference;
  const AgreementLimits limits = resampled_limits(*make_study(rows));
  EXPECT_THAT(limits.pairs[0].error().message, HasSubstr("never changes"));
  EXPECT_FALSE(limits.fleiss);
}

TEST(ResampledLimits, AreSteadyFromSeedToSeed) {
  const Study study = *make_study(handbook_rows());
  const AgreementLimits one = resampled_limits(study, {20000, 1, 0.95, 0});
  const AgreementLimits two = resampled_limits(study, {20000, 2, 0.95, 0});
  EXPECT_NEAR(one.fleiss->low, two.fleiss->low, 0.01);
  EXPECT_NEAR(one.alpha->high, two.alpha->high, 0.01);
  EXPECT_NEAR(one.ac1->low, two.ac1->low, 0.01);
  EXPECT_NEAR(one.pairs[1]->low, two.pairs[1]->low, 0.02);
}

TEST(ResampledLimits, OneInspectorOnly) {
  auto rows = handbook_rows();
  std::erase_if(rows, [](const StudyRow& row) { return row.inspector != "A"; });
  const AgreementLimits limits = resampled_limits(*make_study(rows));
  EXPECT_TRUE(limits.pairs.empty());
  EXPECT_TRUE(limits.with_reference[0]);
  EXPECT_FALSE(limits.fleiss);
}

}  // namespace
}  // namespace lastlook::analytics
