// SPDX-License-Identifier: Apache-2.0
#include "kiosk/domain/study.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <set>

namespace lastlook::domain {
namespace {

StudyPlanned plan_of(std::size_t items) {
  StudyPlanned plan;
  plan.study = "s-1";
  plan.title = "Seals";
  for (std::size_t i = 0; i < items; ++i) plan.items.push_back({std::to_string(i), "", ""});
  plan.inspectors = {"a", "b"};
  plan.ratings = {"conforming", "nonconforming"};
  return plan;
}

TEST(StudyOrder, HasEachItemOnceAndIsTheSameAgain) {
  const StudyPlanned plan = plan_of(50);
  auto order = study_order(plan, "a", 1);
  EXPECT_EQ(order, study_order(plan, "a", 1));
  EXPECT_NE(order, study_order(plan, "a", 2));
  EXPECT_NE(order, study_order(plan, "b", 1));
  StudyPlanned other = plan;
  other.seed = 1;
  EXPECT_NE(order, study_order(other, "a", 1));
  std::ranges::sort(order);
  for (std::size_t i = 0; i < order.size(); ++i) EXPECT_EQ(order[i], i);
}

// 6,000 orders of three items over many seeds: each of the six 1,000 times, but for chance. Chi
// square with 5 degrees of freedom is above 20.5 once in a thousand times.
TEST(StudyOrder, EachIsAsLikelyAsAnyOther) {
  StudyPlanned plan = plan_of(3);
  std::map<std::vector<std::size_t>, int> seen;
  for (plan.seed = 0; plan.seed < 6000; ++plan.seed) ++seen[study_order(plan, "a", 1)];
  ASSERT_EQ(seen.size(), 6U);
  double chi_square = 0;
  for (const auto& [order, times] : seen) chi_square += (times - 1000) * (times - 1000) / 1000.0;
  EXPECT_LT(chi_square, 20.5);
}

TEST(RatedStudy, GivesTheStatisticsEveryRatingWithItsReference) {
  StudyRecord record;
  record.plan = plan_of(2);
  record.plan.items[0].reference = "nonconforming";
  EXPECT_FALSE(rated_study(record)) << "nothing was rated";
  record.ratings = {{"a", 1, "0", "conforming", 5},
                    {"a", 2, "0", "nonconforming", 6},
                    {"b", 1, "1", "nonconforming", 7}};
  const auto study = rated_study(record);
  ASSERT_TRUE(study) << study.error().message;
  EXPECT_EQ(study->decisions.size(), 3U);
  EXPECT_EQ(study->inspectors, (std::vector<std::string>{"a", "b"}));
  ASSERT_TRUE(study->good);
  EXPECT_EQ(study->categories[*study->good], "conforming");
  EXPECT_TRUE(study->has_reference());
}

TEST(RatedStudy, KnowsTheGoodOneByThePlanWhateverItIsCalled) {
  StudyRecord record;
  record.plan = plan_of(2);
  record.plan.ratings = {"dry", "wet"};
  record.ratings = {{"a", 1, "0", "wet", 5}, {"b", 1, "0", "dry", 6}};
  const auto study = rated_study(record);
  ASSERT_TRUE(study) << study.error().message;
  ASSERT_TRUE(study->good);
  EXPECT_EQ(study->categories[*study->good], "dry");
}

}  // namespace
}  // namespace lastlook::domain
