// SPDX-License-Identifier: Apache-2.0
#include "analytics/control_chart.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "analytics/distributions.h"
#include "tests/analytics/references.h"

namespace lastlook::analytics {
namespace {

using nlohmann::json;
using references::expect_check;
using references::expect_computed;
using testing::ElementsAre;
using testing::HasSubstr;

json datasets() {
  return references::load("01_attribute_charts.json")["datasets"];
}

std::vector<ChartSample> samples_of(const json& found, const json& sizes) {
  std::vector<ChartSample> samples;
  for (std::size_t i = 0; i < found.size(); ++i) {
    ChartSample s;
    s.name = std::to_string(i + 1);
    s.nonconforming = found[i];
    s.inspected = sizes.is_array() ? sizes[i].get<int>() : sizes.get<int>();
    samples.push_back(s);
  }
  return samples;
}

ChartOptions kind(ChartKind kind, LimitKind limits = LimitKind::sigma) {
  ChartOptions options;
  options.kind = kind;
  options.limits = limits;
  return options;
}

std::vector<int> signalling(const AttributeChart& chart) {  // from 1
  std::vector<int> out;
  for (std::size_t i = 0; i < chart.points.size(); ++i) {
    if (!chart.points[i].signals.empty()) out.push_back(static_cast<int>(i) + 1);
  }
  return out;
}

// NIST/SEMATECH e-Handbook 6.3.3.2: 30 wafers of 50 chips.
TEST(PChart, NistWafers) {
  const json data = datasets()["nist_p_chart_wafers"];
  const auto chart = attribute_chart(samples_of(data["counts"], data["n"]));
  ASSERT_TRUE(chart);
  expect_check(data["checks"]["p_bar"], chart->centre(), "centre");
  for (std::size_t i = 0; i < chart->points.size(); ++i) {
    const ChartPoint& point = chart->points[i];
    EXPECT_NEAR(*point.value, data["fractions"][i], 1e-12);
    expect_check(data["checks"]["ucl"], *point.upper, "upper");
    expect_check(data["checks"]["lcl"], *point.lower, "lower");
  }
  EXPECT_THAT(signalling(*chart), ElementsAre(15, 23));
  EXPECT_EQ(chart->points[14].signals[0].reason, "above the upper limit");
}

// Montgomery, Introduction to Statistical Quality Control: samples 15 and 23 excluded, then a
// second phase of 24 samples.
TEST(PChart, ExcludedSamplesAndPhases) {
  const json first = datasets()["nist_p_chart_wafers"];
  const json second = datasets()["montgomery_orange_juice_revised"];
  auto samples = samples_of(first["counts"], 50);
  samples[14].excluded = "new batch of cardboard";
  samples[22].excluded = "operator in training";
  for (ChartSample s : samples_of(second["counts_31_54"], 50)) {
    s.phase = "after adjustment";
    samples.push_back(s);
  }
  const auto chart = attribute_chart(samples);
  ASSERT_EQ(chart->phases.size(), 2U);
  expect_check(second["checks"]["p_bar_revised"], chart->phases[0].centre, "centre");
  expect_check(second["checks"]["ucl_revised"], *chart->points[0].upper, "upper");
  expect_check(second["checks"]["lcl_revised"], *chart->points[0].lower, "lower");
  expect_check(second["checks"]["p_bar_31_54"], chart->centre(), "centre after");
  expect_check(second["checks"]["ucl_31_54"], *chart->points[30].upper, "upper after");
  EXPECT_DOUBLE_EQ(*chart->points[30].lower, 0);
  // Excluded samples are still drawn and judged.
  EXPECT_FALSE(chart->points[14].signals.empty());
}

// Montgomery: purchase orders with 80 to 120 a week; limits for each sample.
TEST(PChart, VariableSampleSizes) {
  const json data = datasets()["montgomery_purchase_orders"];
  const auto chart = attribute_chart(samples_of(data["D"], data["n"]));
  expect_check(data["checks"]["p_bar"], chart->centre(), "centre");
  for (const json& row : data["per_sample_limits"]) {
    const ChartPoint& point = chart->points[row["i"].get<std::size_t>() - 1];
    expect_computed(row["p"], *point.value, "p");
    expect_computed(row["ucl"], *point.upper, "upper");
    expect_computed(row["lcl"], *point.lower, "lower");
    expect_computed(row["z"], *point.z, "z");
  }
  EXPECT_THAT(signalling(*chart), ElementsAre(11));
}

// NIST/SEMATECH e-Handbook 6.3.3.1; wafer 3 lies on the limit of 28 and is not beyond it.
TEST(CChart, NistWaferDefectsWithAPointOnTheLimit) {
  const json data = datasets()["nist_c_chart_wafer_defects"];
  const auto chart = attribute_chart(samples_of(data["counts"], 1), kind(ChartKind::c));
  expect_check(data["checks"]["c_bar"], chart->centre(), "centre");
  expect_check(data["checks"]["ucl"], *chart->points[0].upper, "upper");
  expect_check(data["checks"]["lcl"], *chart->points[0].lower, "lower");
  EXPECT_THAT(signalling(*chart), ElementsAre(24));
}

// Montgomery: 26 samples of 100 circuit boards; the limits of an unrounded centre.
TEST(CChart, CircuitBoards) {
  const json data = datasets()["montgomery_c_chart_circuit_boards"];
  auto samples = samples_of(data["counts"], 1);
  const auto chart = attribute_chart(samples, kind(ChartKind::c));
  expect_check(data["checks"]["c_bar"], chart->centre(), "centre");
  expect_check(data["checks"]["ucl_exact"], *chart->points[0].upper, "upper");
  expect_check(data["checks"]["lcl_exact"], *chart->points[0].lower, "lower");
  EXPECT_THAT(signalling(*chart), ElementsAre(6, 20));
  samples[5].excluded = "new inspector";
  samples[19].excluded = "solder temperature";
  const auto revised = attribute_chart(samples, kind(ChartKind::c));
  expect_check(data["checks"]["c_bar_revised"], revised->centre(), "centre");
  expect_check(data["checks"]["ucl_revised"], *revised->points[0].upper, "upper, revised");
  expect_check(data["checks"]["lcl_revised"], *revised->points[0].lower, "lower, revised");
  // The first limits are the book's, from a centre of two decimals.
  ChartOptions rounded = kind(ChartKind::c);
  rounded.frozen_centre = 19.85;
  const auto book = attribute_chart(samples, rounded);
  expect_check(data["checks"]["ucl"], *book->points[0].upper, "upper, as in the book");
  expect_check(data["checks"]["lcl"], *book->points[0].lower, "lower, as in the book");
}

// Montgomery, Introduction to Statistical Quality Control: purchase orders, limits of the mean
// size.
TEST(PChart, LimitsOfTheMeanSampleSize) {
  const json data = datasets()["montgomery_purchase_orders"];
  const std::int64_t units = data["total_n"];
  const std::int64_t found = data["total_D"];
  std::int64_t samples = 0;
  std::int64_t sum = 0;
  for (const auto& sample : data["per_sample_limits"]) {
    ++samples;
    sum += sample["n"].get<std::int64_t>();
  }
  EXPECT_EQ(sum, units);
  EXPECT_NEAR(static_cast<double>(found) / static_cast<double>(units), 0.096, 0.0005);
  ChartOptions options;
  options.frozen_centre = 0.096;  // as the book rounds it
  const auto chart = attribute_chart({{"mean", units / samples, 0, "", ""}}, options);
  expect_check(data["checks"]["ucl_avg_n"], *chart->points[0].upper, "upper");
  expect_check(data["checks"]["lcl_avg_n"], *chart->points[0].lower, "lower");
}

// np and u say the same as p on another scale.
TEST(NpAndUChart, AgreeWithPAndC) {
  const json data = datasets()["nist_p_chart_wafers"];
  const auto samples = samples_of(data["counts"], data["n"]);
  const auto p = attribute_chart(samples);
  const auto np = attribute_chart(samples, kind(ChartKind::np));
  EXPECT_NEAR(np->centre(), 50 * p->centre(), 1e-12);
  EXPECT_NEAR(*np->points[0].upper, 50 * *p->points[0].upper, 1e-12);
  EXPECT_EQ(signalling(*np), signalling(*p));
  const auto u = attribute_chart(samples, kind(ChartKind::u));
  const auto c = attribute_chart(samples, kind(ChartKind::c));
  EXPECT_NEAR(*u->points[0].upper * 50, *c->points[0].upper, 1e-12);
}

// Laney (2002): formulas; numbers computed with numpy.
TEST(PrimeCharts, SpreadAndLimitsOfLaney) {
  const json all = datasets();
  const json examples = all["laney_p_prime"]["computed_examples"];
  const json orders = all["montgomery_purchase_orders"];
  const auto chart =
      attribute_chart(samples_of(orders["D"], orders["n"]), kind(ChartKind::p_prime));
  ASSERT_TRUE(chart);
  expect_computed(examples["purchase_orders"]["sigma_z"], chart->phases[0].spread, "spread");
  for (std::size_t i = 0; i < chart->points.size(); ++i) {
    expect_computed(examples["purchase_orders"]["ucl"][i], *chart->points[i].upper, "upper");
    expect_computed(examples["purchase_orders"]["lcl"][i], *chart->points[i].lower, "lower");
  }
  for (const auto& [name, example] : examples.items()) {
    expect_computed(example["sigma_z"], *spread_of(example["z"]), name);
  }
}

TEST(PrimeCharts, RefuseFewerThanTwentySamplesAndSayWhy) {
  const json data = datasets()["laney_p_prime"]["computed_examples"]["made_up_large_subgroups"];
  const auto chart = attribute_chart(samples_of(data["d"], data["n"]), kind(ChartKind::p_prime));
  ASSERT_FALSE(chart);
  EXPECT_EQ(chart.error().category, Category::refused);
  EXPECT_THAT(chart.error().message, HasSubstr("needs 20"));
}

// scipy 1.10.1: binom.ppf([norm.cdf(-3), norm.cdf(3)], 50, 347/1500) = 4, 21;
// poisson.ppf of the same at 16 = 5, 29.
TEST(ExactLimits, AreQuantilesOfTheBinomialAndThePoisson) {
  const json wafers = datasets()["nist_p_chart_wafers"];
  const auto p =
      attribute_chart(samples_of(wafers["counts"], 50), kind(ChartKind::np, LimitKind::exact));
  EXPECT_DOUBLE_EQ(*p->points[0].lower, 4);
  EXPECT_DOUBLE_EQ(*p->points[0].upper, 21);
  const json defects = datasets()["nist_c_chart_wafer_defects"];
  const auto c =
      attribute_chart(samples_of(defects["counts"], 1), kind(ChartKind::c, LimitKind::exact));
  EXPECT_DOUBLE_EQ(*c->points[0].lower, 5);
  EXPECT_DOUBLE_EQ(*c->points[0].upper, 29);
}

// No more than 0.00135 on either side, which sigma limits miss widely for small np.
TEST(ExactLimits, HoldTheirFalseAlarmsForSmallCounts) {
  std::vector<ChartSample> samples(30);
  for (ChartSample& s : samples) s = {"s", 40, 1, "", ""};
  const auto exact = attribute_chart(samples, kind(ChartKind::np, LimitKind::exact));
  const auto sigma = attribute_chart(samples, kind(ChartKind::np));
  const auto beyond = [](double upper) {
    return binomial_upper_tail(static_cast<std::int64_t>(std::floor(upper)) + 1, 40, 1.0 / 40);
  };
  EXPECT_LE(beyond(*exact->points[0].upper), 0.00135);
  EXPECT_GT(beyond(*sigma->points[0].upper), 0.01);
}

TEST(FrozenCentre, RulesOverTheData) {
  ChartOptions options = kind(ChartKind::p);
  options.frozen_centre = 0.1;
  const auto chart = attribute_chart({{"a", 100, 25, "", ""}}, options);
  EXPECT_DOUBLE_EQ(chart->centre(), 0.1);
  EXPECT_NEAR(*chart->points[0].upper, 0.19, 1e-12);
  EXPECT_THAT(signalling(*chart), ElementsAre(1));
  options.frozen_centre = 1.5;
  EXPECT_EQ(attribute_chart({{"a", 100, 25, "", ""}}, options).error().category,
            Category::bad_input);
}

TEST(ChartEdges, NothingInspectedHasNoValue) {
  const auto chart = attribute_chart({{"a", 100, 5, "", ""}, {"b", 0, 0, "", ""}});
  ASSERT_TRUE(chart);
  EXPECT_FALSE(chart->points[1].value);
  EXPECT_FALSE(chart->points[1].upper);
  EXPECT_THAT(chart->notes, ElementsAre(HasSubstr("sample 'b': nothing inspected"),
                                        HasSubstr("the only sample that counts")));
}

TEST(ChartEdges, AllConformingAndAllNonconforming) {
  const auto none = attribute_chart({{"a", 100, 0, "", ""}, {"b", 50, 0, "", ""}});
  EXPECT_DOUBLE_EQ(*none->points[0].upper, 0);
  EXPECT_TRUE(signalling(*none).empty());
  const auto all = attribute_chart({{"a", 10, 10, "", ""}});
  EXPECT_DOUBLE_EQ(*all->points[0].lower, 1);
  EXPECT_TRUE(signalling(*all).empty());
}

TEST(ChartEdges, RefusesWhatCannotBe) {
  EXPECT_EQ(attribute_chart({{"a", 10, 11, "", ""}}).error().category, Category::bad_input);
  EXPECT_TRUE(attribute_chart({{"a", 10, 11, "", ""}}, kind(ChartKind::u)));
  EXPECT_FALSE(attribute_chart({{"a", 0, 1, "", ""}}, kind(ChartKind::u)));
  EXPECT_FALSE(attribute_chart({}));
  EXPECT_EQ(attribute_chart({{"a", 0, 0, "", ""}}).error().category, Category::refused);
  EXPECT_FALSE(attribute_chart({{"a", 10, 1, "", ""}}, kind(ChartKind::u_prime, LimitKind::exact)));
}

// Sum of squares of 20 distances of 1.5 against chi-squared with 19 degrees of freedom; tail from
// scipy 1.10.1: chi2.sf(45, 19) = 0.000685397.
TEST(Overdispersion, IsAChiSquaredTest) {
  const auto wander = overdispersion(std::vector<double>(20, 1.5));
  EXPECT_NEAR(wander->ratio, 45.0 / 19, 1e-12);
  EXPECT_NEAR(wander->p_value, 0.000685397, 1e-9);
  EXPECT_FALSE(overdispersion({1.0}));
}

TEST(RunsOnCharts, AreLookedForOnlyWhenAsked) {
  std::vector<ChartSample> samples;
  for (int i = 0; i < 20; ++i) samples.push_back({"s", 100, i < 12 ? 8 : 12, "", ""});
  EXPECT_TRUE(signalling(*attribute_chart(samples)).empty());
  ChartOptions options = kind(ChartKind::p);
  options.questions = {Question::drift};
  const auto chart = attribute_chart(samples, options);
  EXPECT_THAT(signalling(*chart), ElementsAre(8, 9, 10, 11, 12, 20));
  EXPECT_EQ(chart->points[7].signals[0].reason, "8 in a row below the centre");
  EXPECT_EQ(chart->points[7].signals[0].first, 0U);
  samples[5].excluded = "power cut";
  EXPECT_THAT(signalling(*attribute_chart(samples, options)), ElementsAre(20));
}

TEST(CChart, NothingInspectedIsNoZeroAndSizesThatDifferPointToRates) {
  const auto chart = attribute_chart(
      {{"a", 0, 0, "", ""}, {"b", 10, 4, "", ""}, {"c", 30, 8, "", ""}}, kind(ChartKind::c));
  ASSERT_TRUE(chart);
  EXPECT_DOUBLE_EQ(chart->centre(), 6);
  EXPECT_FALSE(chart->points[0].value);
  ASSERT_EQ(chart->notes.size(), 2U);
  EXPECT_THAT(chart->notes[1], HasSubstr("10 to 30 inspected"));
  EXPECT_THAT(chart->notes[1], HasSubstr("(u)"));
  EXPECT_FALSE(attribute_chart({{"a", 0, 1, "", ""}}, kind(ChartKind::c)));
}

TEST(PPrimeChart, OneSampleIsSingular) {
  const auto chart = attribute_chart({{"a", 50, 5, "", ""}}, kind(ChartKind::p_prime));
  EXPECT_THAT(chart.error().message, HasSubstr("1 sample is too few"));
}

// Ten shifts at 4 %, then one after a change at 60 %: it is its own centre.
TEST(AttributeChart, APhaseOfOneSampleSaysThatItCannotSignal) {
  std::vector<ChartSample> samples(10, {"s", 50, 2, "before", ""});
  samples.push_back({"new", 50, 30, "after", ""});
  const auto own = attribute_chart(samples);
  EXPECT_FALSE(own->has_signals());
  ASSERT_EQ(own->notes.size(), 1U);
  EXPECT_THAT(own->notes[0], HasSubstr("phase 'after': the only sample that counts is its own"));
  ChartOptions frozen;
  frozen.frozen_centre = 0.04;
  const auto compared = attribute_chart(samples, frozen);
  EXPECT_TRUE(compared->has_signals());
  EXPECT_TRUE(compared->notes.empty());
}

}  // namespace
}  // namespace lastlook::analytics
