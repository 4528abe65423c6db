// SPDX-License-Identifier: Apache-2.0
#include "analytics/interval.h"

#include <gtest/gtest.h>

#include <map>

#include "tests/analytics/references.h"

namespace lastlook::analytics {
namespace {

using references::expect_check;
using references::expect_computed;
using references::load;

const std::map<std::string, BinomialMethod> kMethods = {
    {"wald", BinomialMethod::wald},
    {"wald_cc", BinomialMethod::wald_corrected},
    {"wilson", BinomialMethod::wilson},
    {"wilson_cc", BinomialMethod::wilson_corrected},
    {"clopper_pearson", BinomialMethod::clopper_pearson},
    {"mid_p", BinomialMethod::mid_p},
    {"likelihood", BinomialMethod::likelihood}};

// Newcombe (1998) Stat Med 17:857-872, Table I.
TEST(BinomialInterval, SevenMethodsOfNewcombe) {
  int checked = 0;
  const auto data = load("06_binomial_intervals.json")["cases"];
  for (const auto& [name, entry] : data.items()) {
    if (!entry.contains("methods")) continue;
    for (const auto& [method, limits] : entry["methods"].items()) {
      const auto interval = binomial_interval(entry["x"], entry["n"], kMethods.at(method));
      ASSERT_TRUE(interval);
      expect_check(limits["lower"], interval->low, name + " " + method + " lower");
      expect_check(limits["upper"], interval->high, name + " " + method + " upper");
      ++checked;
    }
  }
  EXPECT_EQ(checked, 28);
}

// Computed by scipy 1.10.1 and statsmodels 0.13.5.
TEST(BinomialInterval, AgrestiCoullJeffreysAndOneSided) {
  const auto data = load("06_binomial_intervals.json")["cases"];
  for (const auto& [name, entry] : data.items()) {
    if (!entry.contains("computed_only")) continue;
    const auto& computed = entry["computed_only"];
    const auto ac = binomial_interval(entry["x"], entry["n"], BinomialMethod::agresti_coull);
    const auto jeffreys = binomial_interval(entry["x"], entry["n"], BinomialMethod::jeffreys);
    const auto upper = exact_upper_limit(entry["x"], entry["n"]);
    expect_computed(computed["agresti_coull"][0], ac->low, name);
    expect_computed(computed["agresti_coull"][1], ac->high, name);
    expect_computed(computed["jeffreys"][0], jeffreys->low, name);
    expect_computed(computed["jeffreys"][1], jeffreys->high, name);
    expect_computed(computed["clopper_pearson_one_sided_95_upper"], *upper, name);
  }
}

// Frozen from statsmodels, printed to four digits.
TEST(BinomialInterval, NearAndAtTheEdge) {
  const auto cases = load("06_binomial_intervals.json")["cases"];
  for (const char* name : {"490/500", "20/20"}) {
    const auto& entry = cases[name];
    for (const char* method : {"wilson", "clopper_pearson"}) {
      const auto interval = binomial_interval(entry["x"], entry["n"], kMethods.at(method));
      expect_check(entry[method][0], interval->low, name);
      expect_check(entry[method][1], interval->high, name);
    }
  }
}

TEST(BinomialInterval, RefusesWhatIsNoProportion) {
  EXPECT_EQ(binomial_interval(0, 0).error().category, Category::bad_input);
  EXPECT_EQ(binomial_interval(3, 2).error().category, Category::bad_input);
  EXPECT_EQ(binomial_interval(-1, 2).error().category, Category::bad_input);
  EXPECT_EQ(binomial_interval(1, 2, BinomialMethod::wilson, 1).error().category,
            Category::bad_input);
}

TEST(ExactInterval, EqualsClopperPearsonAtWholeNumbers) {
  const auto whole = binomial_interval(3, 48, BinomialMethod::clopper_pearson);
  const auto real = exact_interval(3, 48);
  EXPECT_DOUBLE_EQ(whole->low, real->low);
  EXPECT_DOUBLE_EQ(whole->high, real->high);
}

// Garwood (1936) Biometrika 28:437.
TEST(PoissonInterval, Garwood) {
  const auto data = load("06_binomial_intervals.json")["poisson_exact_garwood"];
  for (const auto& [count, limits] : data.items()) {
    const auto interval = poisson_interval(std::stoi(count));
    expect_check(limits["lower"], interval->low, count);
    expect_check(limits["upper"], interval->high, count);
  }
  EXPECT_FALSE(poisson_interval(-1));
}

const std::map<std::string, DifferenceMethod> kDifferences = {
    {"wald", DifferenceMethod::wald},
    {"wald_cc", DifferenceMethod::wald_corrected},
    {"newcombe", DifferenceMethod::newcombe},
    {"newcombe_cc", DifferenceMethod::newcombe_corrected},
    {"agresti_caffo", DifferenceMethod::agresti_caffo}};

std::pair<Share, Share> samples(const std::string& name) {
  Share a;
  Share b;
  std::sscanf(name.c_str(), "%ld/%ld/%ld/%ld", &a.hits, &a.units, &b.hits, &b.units);
  return {a, b};
}

// Newcombe (1998) Stat Med 17:873-890, Table II; Agresti & Caffo (2000).
TEST(DifferenceInterval, FiveMethods) {
  int checked = 0;
  const auto data = load("09_differences_and_yield.json")["differences"];
  for (const auto& [name, entry] : data.items()) {
    const auto [a, b] = samples(name);
    for (const auto& [method, limits] : entry["methods"].items()) {
      const auto interval = difference_interval(a, b, kDifferences.at(method));
      ASSERT_TRUE(interval) << name;
      expect_check(limits[0], interval->low, name + " " + method + " lower");
      expect_check(limits[1], interval->high, name + " " + method + " upper");
      ++checked;
    }
  }
  EXPECT_GT(checked, 20);
}

TEST(DifferenceInterval, NeedsUnitsInBoth) {
  EXPECT_FALSE(difference_interval({1, 2}, {0, 0}));
  EXPECT_FALSE(difference_interval({0, 0}, {1, 2}));
}

}  // namespace
}  // namespace lastlook::analytics
