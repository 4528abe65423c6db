// SPDX-License-Identifier: Apache-2.0
// What must hold for any data: order, names and copies change nothing that they should not change.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>

#include "analytics/agreement.h"
#include "analytics/control_chart.h"
#include "analytics/pareto.h"

namespace lastlook::analytics {
namespace {

// A study of 2 to 4 inspectors on 3 to 12 items with one trial and 2 or 3 ratings.
std::vector<StudyRow> random_rows() {
  const int inspectors = *rc::gen::inRange(2, 5);
  const int items = *rc::gen::inRange(3, 13);
  const int ratings = *rc::gen::inRange(2, 4);
  std::vector<StudyRow> rows;
  for (int i = 0; i < items; ++i) {
    for (int n = 0; n < inspectors; ++n) {
      rows.push_back({std::to_string(i), std::string(1, static_cast<char>('A' + n)), "1",
                      std::to_string(*rc::gen::inRange(0, ratings)), "", 0});
    }
  }
  return rows;
}

void expect_same(const Result<double>& a, const Result<double>& b) {
  RC_ASSERT(a.has_value() == b.has_value());
  if (a) RC_ASSERT(std::abs(*a - *b) < 1e-12);
}

Result<double> fleiss(const Study& study) {
  return agreement_of(study).group.fleiss.map([](const GroupMeasure& m) { return m.value; });
}

RC_GTEST_PROP(AgreementProperties, OrderOfItemsChangesNothing, ()) {
  auto rows = random_rows();
  const Study study = *make_study(rows);
  std::stable_sort(rows.begin(), rows.end(),
                   [](const auto& a, const auto& b) { return a.item > b.item; });
  const Study turned = *make_study(rows);
  expect_same(fleiss(study), fleiss(turned));
  expect_same(agreement_of(study).group.alpha, agreement_of(turned).group.alpha);
  expect_same(agreement_of(study).group.conger, agreement_of(turned).group.conger);
}

RC_GTEST_PROP(AgreementProperties, NamesOfRatingsDoNotMatterUnweighted, ()) {
  auto rows = random_rows();
  const Agreement numbers = agreement_of(*make_study(rows));
  for (StudyRow& row : rows) row.rating = "kind " + row.rating;
  const Agreement words = agreement_of(*make_study(rows));
  for (std::size_t i = 0; i < numbers.pairs.size(); ++i) {
    const auto value = [](const Result<Kappa>& k) {
      return k.map([](const Kappa& v) { return v.value; });
    };
    expect_same(value(numbers.pairs[i].kappa), value(words.pairs[i].kappa));
  }
  expect_same(numbers.group.light, words.group.light);
}

// Twice the same items: the same agreement, and kappa's error smaller by the root of two.
RC_GTEST_PROP(AgreementProperties, CopiedItemsKeepTheValueAndShrinkTheError, ()) {
  auto rows = random_rows();
  const Agreement once = agreement_of(*make_study(rows));
  const auto count = rows.size();
  for (std::size_t i = 0; i < count; ++i) {
    rows.push_back(rows[i]);
    rows.back().item += " again";
  }
  const Agreement twice = agreement_of(*make_study(rows));
  for (std::size_t i = 0; i < once.pairs.size(); ++i) {
    RC_ASSERT(once.pairs[i].kappa.has_value() == twice.pairs[i].kappa.has_value());
    if (!once.pairs[i].kappa) continue;
    RC_ASSERT(std::abs(once.pairs[i].kappa->value - twice.pairs[i].kappa->value) < 1e-12);
    RC_ASSERT(std::abs(once.pairs[i].kappa->se - std::sqrt(2.0) * twice.pairs[i].kappa->se) < 1e-9);
  }
  expect_same(once.group.fleiss.map([](const auto& m) { return m.value; }),
              twice.group.fleiss.map([](const auto& m) { return m.value; }));
}

// Trials that repeat themselves are no new evidence: the item-wise error and limits stay.
RC_GTEST_PROP(AgreementProperties, CopiedTrialsChangeNoLimits, ()) {
  auto rows = random_rows();
  const Agreement once = agreement_of(*make_study(rows));
  const auto count = rows.size();
  for (std::size_t i = 0; i < count; ++i) {
    rows.push_back(rows[i]);
    rows.back().trial = "2";
  }
  const Agreement twice = agreement_of(*make_study(rows));
  for (std::size_t i = 0; i < once.pairs.size(); ++i) {
    expect_same(once.pairs[i].se_by_item, twice.pairs[i].se_by_item);
  }
}

RC_GTEST_PROP(IntervalProperties, HoldTheShareAndMirror, ()) {
  const auto n = static_cast<std::int64_t>(*rc::gen::inRange(1, 500));
  const auto x = static_cast<std::int64_t>(*rc::gen::inRange(0, static_cast<int>(n) + 1));
  const double share = static_cast<double>(x) / static_cast<double>(n);
  for (const auto method :
       {BinomialMethod::wilson, BinomialMethod::clopper_pearson, BinomialMethod::mid_p,
        BinomialMethod::likelihood, BinomialMethod::wilson_corrected}) {
    const auto limits = *binomial_interval(x, n, method);
    const auto mirrored = *binomial_interval(n - x, n, method);
    RC_ASSERT(limits.low <= share + 1e-12 && share <= limits.high + 1e-12);
    RC_ASSERT(limits.low >= 0 && limits.high <= 1);
    RC_ASSERT(std::abs(limits.low - (1 - mirrored.high)) < 1e-9);
  }
}

RC_GTEST_PROP(ParetoProperties, OrderOfFindingsChangesNothing, ()) {
  const auto findings = *rc::gen::container<std::vector<int>>(rc::gen::inRange(0, 12));
  ParetoCounter forward;
  ParetoCounter backward;
  for (const int kind : findings) forward.add("k" + std::to_string(kind), 1);
  for (auto kind = findings.rbegin(); kind != findings.rend(); ++kind) {
    backward.add("k" + std::to_string(*kind), 1);
  }
  const ParetoTable a = forward.table();
  const ParetoTable b = backward.table();
  RC_ASSERT(a.total == static_cast<std::int64_t>(findings.size()));
  RC_ASSERT(a.rows.size() == b.rows.size());
  for (std::size_t i = 0; i < a.rows.size(); ++i) {
    RC_ASSERT(a.rows[i].name == b.rows[i].name);
    if (i > 0) RC_ASSERT(a.rows[i - 1].count >= a.rows[i].count);
  }
}

RC_GTEST_PROP(ChartProperties, LimitsLieAroundTheCentreAndOrderDoesNotMoveIt, ()) {
  std::vector<ChartSample> samples;
  const int count = *rc::gen::inRange(1, 30);
  for (int i = 0; i < count; ++i) {
    const std::int64_t n = *rc::gen::inRange(1, 300);
    samples.push_back({"s", n, *rc::gen::inRange(0, static_cast<int>(n) + 1), "", ""});
  }
  for (const auto limits : {LimitKind::sigma, LimitKind::exact}) {
    ChartOptions options;
    options.limits = limits;
    const auto chart = attribute_chart(samples, options);
    for (const ChartPoint& point : chart->points) {
      RC_ASSERT(*point.lower >= 0 && *point.upper <= 1 + 1e-12);
      RC_ASSERT(*point.lower <= *point.upper);
    }
    auto turned = samples;
    std::reverse(turned.begin(), turned.end());
    RC_ASSERT(std::abs(attribute_chart(turned, options)->centre() - chart->centre()) < 1e-12);
  }
}

}  // namespace
}  // namespace lastlook::analytics
