// SPDX-License-Identifier: Apache-2.0
#include "analytics/agreement.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/analytics/references.h"

namespace lastlook::analytics {
namespace {

using nlohmann::json;
using references::expect_check;
using references::expect_computed;
using testing::HasSubstr;

const std::vector<std::string> kInspectors = {"A", "B", "C"};

// AIAG Measurement Systems Analysis, 4th ed. (2010), Table III-C 1: 50 parts, 3 appraisers, 3
// trials.
class HandbookStudy : public testing::Test {
 protected:
  HandbookStudy() : file_(references::load("05_attribute_study_50x3x3.json")) {
    for (const json& part : file_["raw_data"]) {
      for (const std::string& name : kInspectors) {
        for (std::size_t trial = 0; trial < 3; ++trial) {
          rows_.push_back({part["part"].dump(), name, std::to_string(trial + 1),
                           part[name][trial].dump(), part["reference"].dump(), 0});
        }
      }
    }
    study_ = *make_study(rows_);
    agreement_ = agreement_of(study_);
  }

  json file_;
  std::vector<StudyRow> rows_;
  Study study_;
  Agreement agreement_;
};

TEST_F(HandbookStudy, KappasOfPairs) {
  const std::vector<std::string> names = {"AB", "AC", "BC"};
  for (std::size_t i = 0; i < 3; ++i) {
    const PairAgreement& pair = agreement_.pairs[i];
    EXPECT_EQ(pair.pairs, 150);
    EXPECT_EQ(pair.items, 50);
    expect_check(file_["checks"]["kappa_" + names[i]], pair.kappa->value, names[i]);
    expect_computed(file_["computed"]["kappa_se"][names[i]], pair.kappa->se, names[i]);
    // Three looks at an item are not three items.
    EXPECT_GT(*pair.se_by_item, pair.kappa->se);
  }
}

TEST_F(HandbookStudy, SelfAgreementAndEffectiveness) {
  for (std::size_t i = 0; i < 3; ++i) {
    const std::string& name = kInspectors[i];
    const json& computed = file_["computed"]["per_appraiser"][name];
    const SelfAgreement& self = agreement_.self[i];
    EXPECT_EQ(self.agreeing, computed["within_matched"]);
    EXPECT_EQ(self.items, 50);
    expect_computed(computed["ci95_clopper_pearson"][0], self.limits->low, name);
    expect_computed(computed["ci95_clopper_pearson"][1], self.limits->high, name);
    const ReferenceAgreement& r = agreement_.with_reference[i];
    expect_check(file_["checks"]["effectiveness_" + name], 100 * *r.effectiveness, name);
    expect_check(file_["checks"]["eff_lci_" + name], 100 * r.effectiveness_limits->low, name);
    expect_check(file_["checks"]["eff_uci_" + name], 100 * r.effectiveness_limits->high, name);
  }
}

TEST_F(HandbookStudy, KappasMissesAndFalseAlarmsAgainstTheReference) {
  for (std::size_t i = 0; i < 3; ++i) {
    const std::string& name = kInspectors[i];
    const json& computed = file_["computed"]["per_appraiser"][name];
    const ReferenceAgreement& r = agreement_.with_reference[i];
    expect_check(file_["checks"]["kappa_" + name + "_ref"], r.kappa->value, name);
    expect_computed(file_["computed"]["kappa_se"][name + "_ref"], r.kappa->se, name);
    EXPECT_EQ(r.miss.hits, computed["misses"]);
    EXPECT_EQ(r.miss.decisions, computed["miss_opportunities"]);
    expect_check(file_["checks"]["miss_" + name], 100 * *r.miss.value, name);
    EXPECT_EQ(r.false_alarm.hits, computed["false_alarms"]);
    expect_check(file_["checks"]["false_alarm_" + name], 100 * *r.false_alarm.value, name);
  }
}

TEST_F(HandbookStudy, AllNineRatingsTogether) {
  const GroupAgreement& group = agreement_.group;
  expect_computed(file_["computed"]["fleiss_all_nine_ratings"], group.fleiss->value, "Fleiss");
  EXPECT_EQ(group.all_agree, file_["computed"]["all_appraisers_agree"]);
  expect_check(file_["checks"]["system"], 100.0 * static_cast<double>(group.all_agree) / 50,
               "system");
  expect_check(file_["checks"]["system_lci"], 100 * group.all_agree_limits->low, "system");
  expect_check(file_["checks"]["system_uci"], 100 * group.all_agree_limits->high, "system");
  expect_computed(file_["computed"]["system_ci95"][0], group.all_agree_limits->low, "system");
  expect_computed(file_["computed"]["system_ci95"][1], group.all_agree_limits->high, "system");
  const auto& p = agreement_.pairs;
  EXPECT_NEAR(*group.light, (p[0].kappa->value + p[1].kappa->value + p[2].kappa->value) / 3, 1e-12);
}

TEST_F(HandbookStudy, LimitsCountAnItemOnce) {
  const ReferenceAgreement& a = agreement_.with_reference[0];
  EXPECT_EQ(a.miss.items, 16);
  const auto as_if_independent = binomial_interval(3, 48, BinomialMethod::clopper_pearson);
  EXPECT_GT(a.miss.limits->high, as_if_independent->high);
  EXPECT_NEAR(a.miss.limits->high, exact_interval(1.0, 16)->high, 1e-12);
}

TEST_F(HandbookStudy, SentenceAndBands) {
  EXPECT_EQ(in_a_sentence(agreement_.with_reference[0]),
            "missed 3 of 48 looks at 16 bad, stopped 5 of 102 looks at 34 good");
  // AIAG acceptance guideline: A is 84 %, 6.25 %, 4.9 %.
  const ReferenceAgreement& a = agreement_.with_reference[0];
  EXPECT_EQ(effectiveness_band(*a.effectiveness), Band::marginal);
  EXPECT_EQ(miss_band(*a.miss.value), Band::unacceptable);
  EXPECT_EQ(false_alarm_band(*a.false_alarm.value), Band::acceptable);
}

TEST(Bands, HoldTheirBorders) {
  EXPECT_EQ(effectiveness_band(0.90), Band::acceptable);
  EXPECT_EQ(effectiveness_band(0.80), Band::marginal);
  EXPECT_EQ(effectiveness_band(0.79), Band::unacceptable);
  EXPECT_EQ(miss_band(0.02), Band::acceptable);
  EXPECT_EQ(miss_band(0.05), Band::marginal);
  EXPECT_EQ(false_alarm_band(0.101), Band::unacceptable);
}

// One look each; the counts in order a/a, a/b, b/a, b/b.
Study two_raters(int aa, int ab, int ba, int bb) {
  std::vector<StudyRow> rows;
  const auto add = [&](int times, const std::string& first, const std::string& second) {
    for (int i = 0; i < times; ++i) {
      const std::string item = std::to_string(rows.size());
      rows.push_back({item, "ann", "1", first, "", 0});
      rows.push_back({item, "bo", "1", second, "", 0});
    }
  };
  add(aa, "a", "a");
  add(ab, "a", "b");
  add(ba, "b", "a");
  add(bb, "b", "b");
  return *make_study(rows);
}

// Feinstein & Cicchetti (1990): 85 % agreement, kappa 0.32.
TEST(KappaWarning, SpeaksWherePrevalenceMisleads) {
  const Study study = two_raters(80, 10, 5, 5);
  const PairAgreement pair = agreement_of(study).pairs[0];
  EXPECT_THAT(kappa_warning(pair, study), HasSubstr("85 %"));
  const Study even = two_raters(40, 9, 6, 45);
  EXPECT_EQ(kappa_warning(agreement_of(even).pairs[0], even), "");
  const Study biased = two_raters(25, 35, 5, 35);
  EXPECT_THAT(kappa_warning(agreement_of(biased).pairs[0], biased), HasSubstr("different rates"));
}

TEST(AgreementEdges, OneInspectorOnly) {
  const Study study = *make_study({{"1", "A", "1", "0", "", 2}, {"1", "A", "2", "1", "", 3}});
  const Agreement a = agreement_of(study);
  EXPECT_TRUE(a.pairs.empty());
  EXPECT_TRUE(a.with_reference.empty());
  EXPECT_EQ(a.group.fleiss.error().message, "one inspector only");
  EXPECT_DOUBLE_EQ(*a.self[0].agree, 0);
}

TEST(AgreementEdges, PerfectAgreementHasNoLimitsButAReason) {
  const Agreement a = agreement_of(two_raters(5, 0, 0, 5));
  EXPECT_DOUBLE_EQ(a.pairs[0].kappa->value, 1);
  EXPECT_DOUBLE_EQ(a.pairs[0].kappa->se, 0);
  EXPECT_FALSE(a.pairs[0].limits);
  EXPECT_DOUBLE_EQ(a.group.fleiss->value, 1);
}

TEST(AgreementEdges, OneCategoryIsNoKappa) {
  const Agreement a = agreement_of(two_raters(5, 0, 0, 0));
  EXPECT_THAT(a.pairs[0].kappa.error().message, HasSubstr("one and the same category"));
  EXPECT_FALSE(a.group.fleiss);
  EXPECT_FALSE(a.group.light);
  EXPECT_FALSE(a.pairs[0].ac1);
}

TEST(AgreementEdges, NoTrialsTwiceNoSelfAgreement) {
  const Agreement a = agreement_of(two_raters(5, 1, 1, 5));
  EXPECT_EQ(a.self[0].items, 0);
  EXPECT_FALSE(a.self[0].agree);
}

TEST(AgreementEdges, ReferenceWithoutBadItems) {
  const Study study = *make_study({{"1", "A", "1", "1", "1", 2}, {"2", "A", "1", "0", "1", 3}});
  const ReferenceAgreement r = agreement_of(study).with_reference[0];
  EXPECT_THAT(r.miss.value.error().message, HasSubstr("no nonconforming item"));
  EXPECT_DOUBLE_EQ(*r.false_alarm.value, 0.5);
  EXPECT_EQ(in_a_sentence(r), "bad items: no nonconforming item was rated, stopped 1 of 2 good");
}

// The handbook marks 11 parts as divided (its code x).
TEST_F(HandbookStudy, SplitItemsAreThoseOfTheHandbook) {
  EXPECT_EQ(agreement_.split.size(), file_["computed"]["x_parts"]);
  for (const SplitItem& item : agreement_.split)
    EXPECT_EQ(file_["raw_data"][item.item]["code"], "x") << study_.items[item.item];
  // Four against five of nine: 20 of 36 pairs differ.
  EXPECT_NEAR(agreement_.split[0].disagreement, 20.0 / 36, 1e-12);
  EXPECT_GE(agreement_.split[0].disagreement, agreement_.split.back().disagreement);
}

// From Table III-C 1: in the first trial A and B differ nowhere, B and C only at part 21 and 22.
TEST_F(HandbookStudy, FirstTrialAlone) {
  EXPECT_DOUBLE_EQ(agreement_.pairs[0].first_trial->value, 1);
  EXPECT_NEAR(agreement_.pairs[0].first_trial->n, 50, 0);
  int differ = 0;
  for (const json& part : file_["raw_data"]) differ += part["B"][0] != part["C"][0] ? 1 : 0;
  EXPECT_NEAR(agreement_.pairs[2].first_trial->observed, 1 - differ / 50.0, 1e-12);
}

// A camera's opinions: 'unsure' hands the unit to a person, so it neither misses nor stops.
TEST(CameraAsInspector, UnsureIsItsOwnCategory) {
  std::vector<StudyRow> rows;
  const auto add = [&](const char* inspector, const char* rating, const char* reference) {
    rows.push_back({std::to_string(rows.size()), inspector, "1", rating, reference, 0});
  };
  for (int i = 0; i < 8; ++i) add("camera", i < 5 ? "bad" : i < 7 ? "unsure" : "ok", "bad");
  for (int i = 0; i < 10; ++i) add("camera", i < 7 ? "ok" : i < 9 ? "unsure" : "bad", "ok");
  const Study study = *make_study(rows);
  ASSERT_TRUE(study.unsure);
  const ReferenceAgreement camera = agreement_of(study).with_reference[0];
  EXPECT_DOUBLE_EQ(*camera.miss.value, 1.0 / 8);
  EXPECT_EQ(camera.miss.unsure, 2);
  EXPECT_DOUBLE_EQ(*camera.false_alarm.value, 1.0 / 10);
  EXPECT_EQ(camera.false_alarm.unsure, 2);
  EXPECT_DOUBLE_EQ(*camera.effectiveness, 12.0 / 18);
  // Hits 5 of 6 and alarms 1 of 8 that were sure: scipy.stats.norm.ppf(5.5/7) - ppf(1.5/9).
  EXPECT_NEAR(*camera.d_prime, 1.7590602, 1e-6);
  EXPECT_EQ(in_a_sentence(camera), "missed 1 of 8 bad (2 unsure), stopped 1 of 10 good (2 unsure)");
}

}  // namespace
}  // namespace lastlook::analytics
