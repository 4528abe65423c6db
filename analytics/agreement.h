// SPDX-License-Identifier: Apache-2.0
// What a study says: does each inspector agree with themselves, with the others, with the truth?
//
// Every number that may not be defined is a Result; its error is the reason, in words.
//
// How trials count. Kappas of two inspectors pair trial with trial of the same name. Group measures
// other than Light's and Conger's take all ratings of an item together. Limits count an item once:
// the trials of an item are not new evidence of their own.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "analytics/interval.h"
#include "analytics/paired_tests.h"
#include "analytics/study.h"

namespace lastlook::analytics {

// Definition: share of items on which all trials of one inspector agree.
// Divisor: items that were rated twice or more.
// Least n: 1 such item.
// Edges: no such item -> refused.
// Interval method: exact (Clopper-Pearson), items counted once.
// Source: AIAG Measurement Systems Analysis, 4th ed., III-C ("within appraiser").
struct SelfAgreement {
  std::size_t inspector = 0;
  std::int64_t items = 0;
  std::int64_t agreeing = 0;
  Result<double> agree;
  Result<Interval> limits;
};

// Definition: Cohen's kappas and AC1 of two inspectors; see kappa.h and group_agreement.h.
// Divisor: pairs of trials.
// Least n: 1 pair; 2 items for limits.
// Edges: as kappa(); perfect agreement -> no limits, with the reason.
// Interval method: kappa +- z standard errors clustered by item (with one trial an item: Fleiss,
//   Cohen & Everitt 1969). `kappa.se` takes pairs as independent, as the handbooks print it.
//   McNemar's test uses the first trial that both rated of each item, so that items are
//   independent.
// Source: as each of them; AIAG Measurement Systems Analysis, 4th ed., III-C ("between
//   appraisers").
struct PairAgreement {
  std::size_t a = 0;
  std::size_t b = 0;
  std::int64_t pairs = 0;
  std::int64_t items = 0;
  Result<Kappa> kappa;
  Result<Kappa> first_trial;  // of the first trial alone, before anybody could remember an item
  Result<double> se_by_item;
  Result<Interval> limits;
  Result<Kappa> linear;
  Result<Kappa> quadratic;
  Result<GroupMeasure> ac1;
  Result<TwoRaterIndices> indices;
  Result<McNemar> mcnemar;     // do the two reject equally often?
  Result<double> kendall_tau;  // do they rank alike? Ratings that are numbers, the first trials
};

// Definition: the measures of group_agreement.h and paired_tests.h over all inspectors.
// Divisor: as each of them.
// Least n: 2 inspectors; beyond that as each of them.
// Edges: one inspector only -> refused; AC2, ordinal alpha and Kendall's W of ratings that are not
//   numbers -> refused; one category only, missing ratings, ties: as each of them.
// Interval method: Fleiss: value +- z se; items that all agree on: exact (Clopper-Pearson); the
//   others by resampling, see agreement_limits.h.
// Source: as each of them.
struct GroupAgreement {
  Result<GroupMeasure> fleiss;
  Result<double> fleiss_se;  // under no agreement beyond chance
  Result<Interval> fleiss_limits;
  Result<double> light;
  Result<double> conger;
  Result<double> alpha;
  Result<double> alpha_ordinal;
  Result<GroupMeasure> ac1;
  Result<GroupMeasure> ac2_linear;  // AC2: of ratings that are numbers
  Result<GroupMeasure> ac2_quadratic;
  std::vector<Result<CategoryKappa>> fleiss_by_category;  // as Study::categories
  Result<ChiSquared> cochran_q;  // do all reject equally often? First trial of items that all rated
  Result<Concordance> kendall_w;  // do all rank alike? Ratings that are numbers, likewise
  std::int64_t items = 0;         // rated by two inspectors or more
  std::int64_t all_agree = 0;     // items with one and the same rating throughout
  Result<Interval> all_agree_limits;
};

// One share of decisions with limits that count an item once.
struct DecisionRate {
  std::int64_t hits = 0;
  std::int64_t unsure = 0;  // of the decisions: neither right nor wrong, handed to a person
  std::int64_t decisions = 0;
  std::int64_t items = 0;
  Result<double> value;
  Result<Interval> limits;  // exact, of the items, each by the share of its trials
};

// Definition: effectiveness: share of items on which every trial says what the reference says. Miss
//   rate: share of decisions on nonconforming items that said conforming. False alarm rate: share
//   of decisions on conforming items that rejected. "Unsure" is neither and stays in the divisor.
// Divisor: items; decisions on bad items; decisions on good items.
// Least n: 1 of each.
// Edges: no reference, no bad (good) item, or unknown which rating means conforming -> refused.
// Interval method: exact, items counted once.
// Source: AIAG Measurement Systems Analysis, 4th ed., III-C. d' and bias, of the decisions that
//   were sure: Green & Swets (1966), rates with 1/2 added to hits and 1 to trials, Hautus (1995)
//   Behav Res Methods 27:46.
struct ReferenceAgreement {
  std::size_t inspector = 0;
  Result<Kappa> kappa;
  Result<Kappa> first_trial;
  Result<double> se_by_item;
  Result<Interval> limits;
  std::int64_t items = 0;
  std::int64_t right = 0;  // items right in every trial
  Result<double> effectiveness;
  Result<Interval> effectiveness_limits;
  DecisionRate miss;
  DecisionRate false_alarm;
  Result<double> d_prime;  // how well bad is told from good, in sigmas
  Result<double> bias;     // below 0: stops too much; above 0: lets too much pass
};

// An item on which not all ratings are alike.
//
// Definition: share of the pairs of its ratings, of all inspectors and trials, that differ.
// Divisor: m (m - 1) / 2 pairs of m ratings.
// Least n: 2 ratings.
// Edges: items whose ratings are all alike are left out.
// Interval method: none.
// Source: 1 - P_i of Fleiss (1971) Psychol Bull 76:378.
struct SplitItem {
  std::size_t item = 0;
  std::vector<std::int64_t> ratings;  // of each category
  double disagreement = 0;
};

// The most divided first; equals in the order of the study.
std::vector<SplitItem> split_items(const Study& study);

struct Agreement {
  std::vector<SelfAgreement> self;
  std::vector<PairAgreement> pairs;
  GroupAgreement group;
  std::vector<ReferenceAgreement> with_reference;  // empty where the study has none
  std::vector<SplitItem> split;
};

Agreement agreement_of(const Study& study, double confidence = kConfidence);

// "missed 3 of 20 bad, stopped 1 of 30 good"; with repeated trials it counts looks at them.
std::string in_a_sentence(const ReferenceAgreement& agreement);

// What the pair's kappa hides, in plain words; empty where nothing misleads. Common practice after
// Feinstein & Cicchetti (1990) and Byrt et al. (1993): speaks where kappa lies 0.2 or more under
// the agreement that equal prevalence would give, or the two reject at clearly different rates.
std::string kappa_warning(const PairAgreement& pair, const Study& study);

// Acceptance by the handbook (AIAG, effectiveness 90 / 80 %, misses 2 / 5 %, false alarms 5 / 10
// %).
enum class Band { acceptable, marginal, unacceptable };
Band effectiveness_band(double share);
Band miss_band(double rate);
Band false_alarm_band(double rate);
std::string_view name_of(Band band);

}  // namespace lastlook::analytics
