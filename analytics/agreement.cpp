// SPDX-License-Identifier: Apache-2.0
#include "analytics/agreement.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "analytics/distributions.h"

namespace lastlook::analytics {
namespace {

tl::unexpected<Error> refused(std::string reason) {
  return fail(Category::refused, std::move(reason));
}

double share(std::int64_t part, std::int64_t whole) {
  return static_cast<double>(part) / static_cast<double>(whole);
}

tl::unexpected<Error> unordered() {
  return refused("the ratings are not numbers, so they have no order");
}

bool all_same(const std::vector<std::size_t>& ratings) {
  return std::all_of(ratings.begin(), ratings.end(),
                     [&](std::size_t r) { return r == ratings[0]; });
}

SelfAgreement self_of(const Study& study, std::size_t inspector, double confidence) {
  SelfAgreement self;
  self.inspector = inspector;
  for (const auto& ratings : ratings_by_item(study, inspector)) {
    if (ratings.size() < 2) continue;
    ++self.items;
    self.agreeing += all_same(ratings) ? 1 : 0;
  }
  if (self.items == 0) {
    self.agree = refused("no item was rated twice by this inspector");
    self.limits = tl::unexpected(self.agree.error());
    return self;
  }
  self.agree = share(self.agreeing, self.items);
  self.limits =
      binomial_interval(self.agreeing, self.items, BinomialMethod::clopper_pearson, confidence);
  return self;
}

Result<Interval> limits_of(const Result<Kappa>& kappa, const Result<double>& se,
                           double confidence) {
  if (!kappa) return tl::unexpected(kappa.error());
  if (!se) return tl::unexpected(se.error());
  return kappa_interval(kappa->value, *se, confidence);
}

std::int64_t items_in(const std::vector<RatedPair>& pairs) {
  std::set<std::size_t> items;
  for (const RatedPair& pair : pairs) items.insert(pair.item);
  return static_cast<std::int64_t>(items.size());
}

CategoryCounts counts_of(const std::vector<RatedPair>& pairs, std::size_t categories) {
  CategoryCounts counts;
  for (const RatedPair& pair : pairs) {
    auto& row = counts.emplace_back(categories);
    row[pair.a] += 1;
    row[pair.b] += 1;
  }
  return counts;
}

// The rejections of a scale of two categories; of a larger one, where the conforming one is known.
Result<std::size_t> accepting_category(const Study& study) {
  if (study.good) return *study.good;
  if (study.categories.size() == 2) return std::size_t{0};
  return refused("it is not known which rating means conforming");
}

Result<McNemar> mcnemar_of(const Study& study, const std::vector<RatedPair>& pairs,
                           double confidence) {
  const Result<std::size_t> good = accepting_category(study);
  if (!good) return tl::unexpected(good.error());
  std::set<std::size_t> seen;
  std::int64_t only_a = 0;
  std::int64_t only_b = 0;
  for (const RatedPair& pair : pairs) {
    if (!seen.insert(pair.item).second) continue;
    const bool a_rejects = pair.a != *good && pair.a != study.unsure;
    const bool b_rejects = pair.b != *good && pair.b != study.unsure;
    only_a += a_rejects && !b_rejects ? 1 : 0;
    only_b += b_rejects && !a_rejects ? 1 : 0;
  }
  if (seen.empty()) return refused("the two have no item in common");
  return mcnemar(only_a, only_b, static_cast<std::int64_t>(seen.size()), confidence);
}

Result<double> kendall_tau_of(const Study& study, const std::vector<RatedPair>& first_trials) {
  if (!study.ordered) return unordered();
  std::vector<double> a;
  std::vector<double> b;
  for (const RatedPair& pair : first_trials) {
    a.push_back(static_cast<double>(pair.a));
    b.push_back(static_cast<double>(pair.b));
  }
  return kendall_tau_b(a, b);
}

PairAgreement pair_of(const Study& study, const Study& first_trial, std::size_t a, std::size_t b,
                      double confidence) {
  const std::vector<RatedPair> pairs = paired_by_trial(study, a, b);
  const std::size_t categories = study.categories.size();
  const Matrix table = cross_table(pairs, categories);
  PairAgreement pair;
  pair.a = a;
  pair.b = b;
  pair.pairs = static_cast<std::int64_t>(pairs.size());
  pair.items = items_in(pairs);
  pair.kappa = kappa(table);
  const std::vector<RatedPair> first_trials = paired_by_trial(first_trial, a, b);
  pair.first_trial = kappa(cross_table(first_trials, categories));
  pair.se_by_item = kappa_se_by_item(pairs, categories);
  pair.limits = limits_of(pair.kappa, pair.se_by_item, confidence);
  pair.linear = kappa(table, Weights::linear);
  pair.quadratic = kappa(table, Weights::quadratic);
  if (pairs.empty()) {
    pair.ac1 = tl::unexpected(pair.kappa.error());
  } else {
    pair.ac1 = gwet_ac(counts_of(pairs, categories));
  }
  pair.indices = two_rater_indices(table);
  pair.mcnemar = mcnemar_of(study, pairs, confidence);
  pair.kendall_tau = kendall_tau_of(study, first_trials);
  return pair;
}

void count_all_agree(const Study& study, GroupAgreement& group, double confidence) {
  std::vector<std::set<std::size_t>> inspectors(study.items.size());
  for (const Decision& d : study.decisions) inspectors[d.item].insert(d.inspector);
  const CategoryCounts counts = counts_by_item(study);
  for (std::size_t i = 0; i < counts.size(); ++i) {
    if (inspectors[i].size() < 2) continue;
    ++group.items;
    const auto used =
        std::count_if(counts[i].begin(), counts[i].end(), [](double n) { return n > 0; });
    group.all_agree += used == 1 ? 1 : 0;
  }
  group.all_agree_limits =
      binomial_interval(group.all_agree, group.items, BinomialMethod::clopper_pearson, confidence);
}

GroupAgreement one_inspector_only() {
  const auto reason = refused("one inspector only");
  GroupAgreement group;
  group.fleiss = group.ac1 = group.ac2_linear = group.ac2_quadratic = reason;
  group.fleiss_se = group.light = group.conger = group.alpha = group.alpha_ordinal = reason;
  group.fleiss_limits = group.all_agree_limits = reason;
  group.cochran_q = reason;
  group.kendall_w = reason;
  return group;
}

// The first trial of each item that every inspector rated: [item][inspector].
std::vector<std::vector<std::size_t>> complete_rows(const Study& study) {
  std::vector<std::vector<std::optional<std::size_t>>> first(
      study.items.size(), std::vector<std::optional<std::size_t>>(study.inspectors.size()));
  for (const Decision& d : study.decisions) {
    auto& cell = first[d.item][d.inspector];
    if (!cell) cell = d.category;
  }
  std::vector<std::vector<std::size_t>> out;
  for (const auto& row : first) {
    if (std::any_of(row.begin(), row.end(), [](const auto& cell) { return !cell; })) continue;
    auto& complete = out.emplace_back();
    for (const auto& cell : row) complete.push_back(*cell);
  }
  return out;
}

Result<ChiSquared> cochran_q_of(const Study& study,
                                const std::vector<std::vector<std::size_t>>& rows) {
  const Result<std::size_t> good = accepting_category(study);
  if (!good) return tl::unexpected(good.error());
  std::vector<std::vector<bool>> rejected;
  for (const auto& row : rows) {
    auto& unit = rejected.emplace_back();
    for (const std::size_t category : row)
      unit.push_back(category != *good && category != study.unsure);
  }
  return cochran_q(rejected);
}

Result<Concordance> kendall_w_of(const Study& study,
                                 const std::vector<std::vector<std::size_t>>& rows) {
  if (!study.ordered) return unordered();
  std::vector<std::vector<double>> by_inspector(study.inspectors.size());
  for (const auto& row : rows) {
    for (std::size_t i = 0; i < row.size(); ++i)
      by_inspector[i].push_back(static_cast<double>(row[i]));
  }
  return kendall_w(by_inspector);
}

GroupAgreement group_of(const Study& study, double confidence) {
  if (study.inspectors.size() < 2) return one_inspector_only();
  const CategoryCounts counts = counts_by_item(study);
  const RatingColumns columns = columns_by_trial(study);
  const std::size_t categories = study.categories.size();
  GroupAgreement group;
  group.fleiss = fleiss_kappa(counts);
  group.fleiss_se = fleiss_se_null(counts);
  if (group.fleiss) {
    group.fleiss_limits = kappa_interval(group.fleiss->value, group.fleiss->se, confidence);
  } else {
    group.fleiss_limits = tl::unexpected(group.fleiss.error());
  }
  group.light = light_kappa(columns, categories);
  group.conger = conger_kappa(columns, categories);
  group.alpha = krippendorff_alpha(counts);
  group.ac1 = gwet_ac(counts);
  if (study.ordered) {
    group.alpha_ordinal = krippendorff_alpha(counts, Scale::ordinal);
    group.ac2_linear = gwet_ac(counts, Weights::linear);
    group.ac2_quadratic = gwet_ac(counts, Weights::quadratic);
  } else {
    group.alpha_ordinal = unordered();
    group.ac2_linear = group.ac2_quadratic = unordered();
  }
  for (std::size_t category = 0; category < categories; ++category)
    group.fleiss_by_category.push_back(fleiss_kappa_of(counts, category));
  const auto rows = complete_rows(study);
  group.cochran_q = cochran_q_of(study, rows);
  group.kendall_w = kendall_w_of(study, rows);
  count_all_agree(study, group, confidence);
  return group;
}

// Decisions on the items that the reference calls good (or bad), and how many of them are wrong
// about that. Limits: items weigh alike, each by the share of its trials that are wrong.
DecisionRate rate_of(const Study& study, std::size_t inspector, bool on_good, double confidence) {
  DecisionRate rate;
  double item_hits = 0;
  const auto ratings = ratings_by_item(study, inspector);
  for (std::size_t i = 0; i < ratings.size(); ++i) {
    const auto& reference = study.references[i];
    if (!reference || !study.good || (*reference == *study.good) != on_good || ratings[i].empty())
      continue;
    const auto wrong = std::count_if(ratings[i].begin(), ratings[i].end(), [&](std::size_t rating) {
      return on_good ? study.rejects(rating) : rating == *study.good;
    });
    rate.unsure += std::count_if(ratings[i].begin(), ratings[i].end(),
                                 [&](std::size_t rating) { return rating == study.unsure; });
    rate.hits += wrong;
    rate.decisions += static_cast<std::int64_t>(ratings[i].size());
    rate.items += 1;
    item_hits += static_cast<double>(wrong) / static_cast<double>(ratings[i].size());
  }
  if (rate.decisions == 0) {
    rate.value = refused(!study.good ? "it is not known which rating means conforming"
                         : on_good   ? "no conforming item was rated"
                                     : "no nonconforming item was rated");
    rate.limits = tl::unexpected(rate.value.error());
    return rate;
  }
  rate.value = share(rate.hits, rate.decisions);
  rate.limits = exact_interval(item_hits, static_cast<double>(rate.items), confidence);
  return rate;
}

void find_effectiveness(const Study& study, ReferenceAgreement& r, double confidence) {
  const auto ratings = ratings_by_item(study, r.inspector);
  for (std::size_t i = 0; i < ratings.size(); ++i) {
    if (!study.references[i] || ratings[i].empty()) continue;
    ++r.items;
    r.right += all_same(ratings[i]) && ratings[i][0] == *study.references[i] ? 1 : 0;
  }
  if (r.items == 0) {
    r.effectiveness = refused("no item with a reference was rated");
    r.effectiveness_limits = tl::unexpected(r.effectiveness.error());
    return;
  }
  r.effectiveness = share(r.right, r.items);
  r.effectiveness_limits =
      binomial_interval(r.right, r.items, BinomialMethod::clopper_pearson, confidence);
}

void find_detection(ReferenceAgreement& r) {
  if (!r.miss.value || !r.false_alarm.value) {
    r.d_prime = tl::unexpected((r.miss.value ? r.false_alarm : r.miss).value.error());
    r.bias = tl::unexpected(r.d_prime.error());
    return;
  }
  const auto z = [](std::int64_t hits, std::int64_t of) {
    return normal_quantile((static_cast<double>(hits) + 0.5) / (static_cast<double>(of) + 1));
  };
  const std::int64_t sure_bad = r.miss.decisions - r.miss.unsure;
  const std::int64_t sure_good = r.false_alarm.decisions - r.false_alarm.unsure;
  const double stopped_bad = z(sure_bad - r.miss.hits, sure_bad);
  const double stopped_good = z(r.false_alarm.hits, sure_good);
  r.d_prime = stopped_bad - stopped_good;
  r.bias = -(stopped_bad + stopped_good) / 2;
}

ReferenceAgreement reference_of(const Study& study, const Study& first_trial, std::size_t inspector,
                                double confidence) {
  const std::vector<RatedPair> pairs = paired_with_reference(study, inspector);
  ReferenceAgreement r;
  r.inspector = inspector;
  r.kappa = kappa(cross_table(pairs, study.categories.size()));
  r.se_by_item = kappa_se_by_item(pairs, study.categories.size());
  r.limits = limits_of(r.kappa, r.se_by_item, confidence);
  r.first_trial =
      kappa(cross_table(paired_with_reference(first_trial, inspector), study.categories.size()));
  find_effectiveness(study, r, confidence);
  r.miss = rate_of(study, inspector, false, confidence);
  r.false_alarm = rate_of(study, inspector, true, confidence);
  find_detection(r);
  return r;
}

}  // namespace

std::vector<SplitItem> split_items(const Study& study) {
  const CategoryCounts counts = counts_by_item(study);
  std::vector<SplitItem> split;
  for (std::size_t i = 0; i < counts.size(); ++i) {
    double ratings = 0;
    double alike = 0;
    SplitItem item{i, {}, 0};
    for (const double n : counts[i]) {
      ratings += n;
      alike += n * (n - 1);
      item.ratings.push_back(std::llround(n));
    }
    if (ratings < 2) continue;
    item.disagreement = 1 - alike / (ratings * (ratings - 1));
    if (alike < ratings * (ratings - 1)) split.push_back(std::move(item));
  }
  std::stable_sort(split.begin(), split.end(), [](const SplitItem& a, const SplitItem& b) {
    return a.disagreement > b.disagreement;
  });
  return split;
}

Agreement agreement_of(const Study& study, double confidence) {
  const Study first_trial = first_trial_of(study);
  Agreement out;
  for (std::size_t a = 0; a < study.inspectors.size(); ++a) {
    out.self.push_back(self_of(study, a, confidence));
    for (std::size_t b = a + 1; b < study.inspectors.size(); ++b) {
      out.pairs.push_back(pair_of(study, first_trial, a, b, confidence));
    }
    if (study.has_reference())
      out.with_reference.push_back(reference_of(study, first_trial, a, confidence));
  }
  out.group = group_of(study, confidence);
  out.split = split_items(study);
  return out;
}

}  // namespace lastlook::analytics
