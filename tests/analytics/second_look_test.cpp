// SPDX-License-Identifier: Apache-2.0
#include "analytics/second_look.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "analytics/escape_chart.h"
#include "tests/analytics/chart_boxes.h"

namespace lastlook::analytics {
namespace {

using testing::HasSubstr;

void add(std::vector<SecondLook>& looks, int count, bool first, bool second, double probability,
         const std::string& period = "") {
  for (int i = 0; i < count; ++i) looks.push_back({period, first, second, probability});
}

// scipy.stats.beta.ppf: 3 of 50.
TEST(Escapes, ExactLimits) {
  std::vector<SecondLook> looks;
  add(looks, 47, false, false, 0.1);
  add(looks, 3, false, true, 0.1);
  add(looks, 20, true, true, 0.5);
  const Escapes e = escapes_of(looks);
  EXPECT_EQ(e.escapes, 3);
  EXPECT_EQ(e.accepted, 50);
  EXPECT_DOUBLE_EQ(*e.rate, 0.06);
  EXPECT_NEAR(e.limits->low, 0.012548587835, 1e-9);
  EXPECT_NEAR(e.limits->high, 0.165481946604, 1e-9);
  EXPECT_NEAR(*e.at_most, 0.147837176364, 1e-9);
}

// No escape in 59 proves less than 5 % with 95 % (MIL-HDBK-1823A), and never 0.
TEST(Escapes, NoneIsNotNever) {
  std::vector<SecondLook> looks;
  add(looks, 59, false, false, 1);
  EXPECT_LT(*escapes_of(looks).at_most, 0.05);
  looks.pop_back();
  EXPECT_GT(*escapes_of(looks).at_most, 0.05);
  EXPECT_EQ(escapes_of({}).rate.error().category, Category::refused);
}

TEST(Escapes, RunUpPeriodByPeriod) {
  std::vector<SecondLook> looks;
  add(looks, 9, false, false, 0.1, "mon");
  add(looks, 1, false, true, 0.1, "mon");
  add(looks, 2, true, true, 0.5, "tue");
  add(looks, 10, false, false, 0.1, "wed");
  const auto runs = running_escapes(looks);
  ASSERT_EQ(runs.size(), 3U);
  EXPECT_DOUBLE_EQ(*runs[0].running.rate, 0.1);
  EXPECT_FALSE(runs[1].alone.rate);  // nothing accepted was looked at again that day
  EXPECT_DOUBLE_EQ(*runs[1].running.rate, 0.1);
  EXPECT_EQ(runs[2].alone.escapes, 0);
  EXPECT_DOUBLE_EQ(*runs[2].running.rate, 0.05);
}

// Two weeks of 1,000 accepted units each, drawn at 5 % and at 50 %. 50 units of weight 20 and 500
// of weight 2 are worth 2000^2 / (50 * 400 + 500 * 4) = 181.8 of one weight (Kish). One of the 50
// escaped: 20 of 2,000 are 1 %, and its variance is worth 100.46 units; the limit is
// scipy.stats.beta.ppf(0.975, 2.004566, 99.452055).
TEST(Escapes, OfUnequalRatesCountByThem) {
  std::vector<SecondLook> looks;
  add(looks, 50, false, false, 0.05, "one");
  add(looks, 500, false, false, 0.5, "two");
  const Escapes none = escapes_of(looks);
  EXPECT_TRUE(none.weighed());
  EXPECT_DOUBLE_EQ(*none.rate, 0);
  EXPECT_NEAR(*none.at_most, 1 - std::pow(0.05, 1 / 181.818181818), 1e-9);
  looks[0].second_rejects = true;
  const auto runs = running_escapes(looks);
  EXPECT_FALSE(runs[0].running.weighed());
  EXPECT_DOUBLE_EQ(*runs[0].running.rate, 0.02);
  EXPECT_NEAR(*runs[1].running.rate, 0.01, 1e-12);  // 1 of 550 would be 0.2 %
  EXPECT_EQ(runs[1].running.accepted, 550);
  EXPECT_NEAR(runs[1].running.limits->high, 0.054293598554, 1e-9);
  EXPECT_THAT(
      in_a_sentence(runs[1].running),
      HasSubstr("1 of 550 accepted units rejected at the second look: 1.0 % (looked at again "
                "at rates of 5 to 50 %, so each counts by 1 / its rate)"));
}

// Gwet's table 20, 5, 10, 15: kappa 0.4 of all 50. Of the 25 accepted one in five was drawn, of the
// 25 rejected each: weighting gives back the kappa of all.
TEST(WeightedAgreement, GivesBackTheKappaOfAllUnits) {
  std::vector<SecondLook> looks;
  add(looks, 4, false, false, 0.2);
  add(looks, 1, false, true, 0.2);
  add(looks, 10, true, false, 1);
  add(looks, 15, true, true, 1);
  const TwoJudgements agreement = weighted_agreement(looks);
  ASSERT_TRUE(agreement.kappa);
  EXPECT_NEAR(*agreement.kappa, 0.4, 1e-12);
  EXPECT_NEAR(agreement.units, 50, 1e-12);
  ASSERT_TRUE(agreement.limits);
  EXPECT_LT(agreement.limits->low, 0.4);
  EXPECT_GT(agreement.limits->high, 0.4);
}

TEST(WeightedAgreement, SaysWhyThereIsNone) {
  std::vector<SecondLook> looks;
  add(looks, 5, false, false, 0.2);
  EXPECT_THAT(weighted_agreement(looks).kappa.error().message, HasSubstr("no rejected unit"));
  add(looks, 5, true, true, 0.2);
  EXPECT_DOUBLE_EQ(*weighted_agreement(looks).kappa, 1);
  looks[0].probability = 0;
  EXPECT_EQ(weighted_agreement(looks).kappa.error().category, Category::bad_input);
}

// scipy.stats.beta.ppf: 3 of 50 lie between 0.01254859 and 0.16548195. The rejected are so few of
// all units that the looks are alike in what is left of the accepted.
TEST(WeightedAgreement, LimitsAreTheExactOnesOfTheEscapes) {
  std::vector<SecondLook> looks;
  add(looks, 47, false, false, 0.001);
  add(looks, 3, false, true, 0.001);
  add(looks, 40, true, true, 1);
  BootstrapOptions many;
  many.resamples = 100'000;
  const TwoJudgements agreement = weighted_agreement(looks, many);
  EXPECT_NEAR(agreement.alike_limits->low, 1 - 0.165481946604, 0.002);
  EXPECT_NEAR(agreement.alike_limits->high, 1 - 0.012548587835, 0.002);
}

// None of 20 drawn at 5 % escaped, which leaves up to 16.8 % (scipy.stats.beta.ppf(0.975, 1, 20))
// of 400 accepted: more than the 20 rejected. Kappa may be 1 and may be next to nothing.
TEST(WeightedAgreement, NoEscapeSeenIsNoEscapeProved) {
  std::vector<SecondLook> looks;
  add(looks, 20, false, false, 0.05);
  add(looks, 20, true, true, 1);
  const TwoJudgements agreement = weighted_agreement(looks);
  EXPECT_DOUBLE_EQ(*agreement.kappa, 1);
  ASSERT_TRUE(agreement.limits);
  EXPECT_LT(agreement.limits->low, 0.45);
  EXPECT_GT(agreement.limits->low, 0.15);
  EXPECT_DOUBLE_EQ(agreement.limits->high, 1);
  add(looks, 4, true, false, 1);
  EXPECT_LT(weighted_agreement(looks).limits->low, 0.45);
}

// The same share of escapes is worth less where the units that show it stand for more.
TEST(WeightedAgreement, UnequalWeightsAreWorthFewerUnits) {
  const auto width = [](double probability) {
    std::vector<SecondLook> looks;
    add(looks, 90, false, false, 0.1);
    add(looks, 9, false, false, probability);
    add(looks, 1, false, true, probability);
    add(looks, 20, true, true, 1);
    const auto limits = *weighted_agreement(looks).alike_limits;
    return limits.high - limits.low;
  };
  EXPECT_GT(width(0.01), 1.5 * width(0.1));
}

std::vector<SecondLook> days(int count) {
  std::vector<SecondLook> looks;
  for (int day = 0; day < count; ++day) {
    const std::string name = "2026-11-" + std::to_string(day);
    add(looks, 6 + day % 5, false, false, day % 2 == 0 ? 0.05 : 0.1, name);
    add(looks, day % 7 == 0 ? 2 : 0, false, true, 0.05, name);
  }
  return looks;
}

TEST(EscapeChart, TextNeverOverlaps) {
  const WideSansMeasure measure;
  for (const auto& [width, height] : kSizes) {
    for (const int count : {0, 1, 14, 120}) {
      const auto chart = escape_chart(running_escapes(days(count)),
                                      {width, height, 14, "What was let pass?"}, measure);
      expect_clean(chart, measure);
    }
  }
}

TEST(EscapeChart, SaysWhatTheLooksProve) {
  const WideSansMeasure measure;
  std::vector<SecondLook> looks;
  add(looks, 59, false, false, 1, "mon");
  const auto chart = escape_chart(running_escapes(looks), {800, 450, 14, ""}, measure);
  EXPECT_THAT(chart.description, HasSubstr("0 of 59 accepted units"));
  EXPECT_THAT(chart.description, HasSubstr("at most 5.0 %"));  // 4.95
}

}  // namespace
}  // namespace lastlook::analytics
