// SPDX-License-Identifier: Apache-2.0
#include "analytics/study.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace lastlook::analytics {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

std::vector<StudyRow> rated(const std::vector<std::string>& ratings) {
  std::vector<StudyRow> rows;
  for (std::size_t i = 0; i < ratings.size(); ++i) {
    rows.push_back({std::to_string(i), "A", "1", ratings[i], "", static_cast<std::int64_t>(i) + 2});
  }
  return rows;
}

TEST(Study, OrdersNumbersAsNumbersAndOthersByAppearance) {
  EXPECT_THAT(make_study(rated({"10", "9", "2.5"}))->categories, ElementsAre("2.5", "9", "10"));
  EXPECT_THAT(make_study(rated({"minor", "10", "9"}))->categories, ElementsAre("minor", "10", "9"));
  EXPECT_THAT(make_study(rated({"1", "1.0", "2"}))->categories, ElementsAre("1", "2"));
}

TEST(Study, ReferencesBelongToTheScale) {
  auto rows = rated({"1", "2"});
  rows[0].reference = "3";
  const auto study = make_study(rows);
  EXPECT_THAT(study->categories, ElementsAre("1", "2", "3"));
  EXPECT_TRUE(study->has_reference());
  EXPECT_EQ(study->references[1], std::nullopt);
}

TEST(Study, FindsTheRatingThatMeansConforming) {
  const auto good = [](const std::vector<std::string>& ratings, const std::string& named = "") {
    const auto study = make_study(rated(ratings), named);
    return study && study->good ? study->categories[*study->good] : "";
  };
  EXPECT_EQ(good({"0", "1"}), "1");
  EXPECT_EQ(good({"reject", "Accept"}), "Accept");
  EXPECT_EQ(good({"nonconforming", "conforming", "unsure"}), "conforming");
  EXPECT_EQ(good({"1", "2", "3"}), "");
  EXPECT_EQ(good({"1", "2", "3"}, "3"), "3");
  EXPECT_EQ(good({"ok", "good"}), "");
  EXPECT_THAT(make_study(rated({"a", "b"}), "c").error().message, HasSubstr("one of: a, b"));
}

TEST(Study, NamesTheLineThatCannotBe) {
  auto twice = rated({"1", "0"});
  twice.push_back(twice[0]);
  twice.back().line = 9;
  EXPECT_EQ(
      make_study(twice).error().message,
      "line 9: item '0', inspector 'A', trial '1' is there a second time, expected once (first "
      "at line 2)");
  auto torn = rated({"1", "0"});
  torn[1].item = torn[0].item;
  torn[1].trial = "2";
  torn[0].reference = "1";
  torn[1].reference = "0";
  EXPECT_THAT(make_study(torn).error().message,
              HasSubstr("line 3: item '0' has the reference '0'"));
  EXPECT_FALSE(make_study({}));
  EXPECT_FALSE(make_study(rated({"", ""})));
}

TEST(Study, PairsTrialsOfTheSameName) {
  std::vector<StudyRow> rows = {{"x", "A", "1", "0", "", 2}, {"x", "B", "2", "1", "", 3},
                                {"x", "B", "1", "0", "", 4}, {"x", "A", "3", "1", "", 5},
                                {"y", "A", "1", "", "", 6},  {"y", "B", "1", "1", "", 7}};
  const auto study = make_study(rows);
  const auto pairs = paired_by_trial(*study, 0, 1);
  ASSERT_EQ(pairs.size(), 1U);
  EXPECT_EQ(pairs[0].item, 0U);
  EXPECT_EQ(pairs[0].a, 0U);
  EXPECT_EQ(columns_by_trial(*study).size(), 4U);
  EXPECT_THAT(counts_by_item(*study)[0], ElementsAre(2, 2));
}

}  // namespace
}  // namespace lastlook::analytics
