// SPDX-License-Identifier: Apache-2.0
#include "analytics/group_agreement.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace lastlook::analytics {
namespace {

double total(const std::vector<double>& row) {
  return std::accumulate(row.begin(), row.end(), 0.0);
}

tl::unexpected<Error> never_twice() {
  return fail(Category::refused, "no item was rated twice");
}
tl::unexpected<Error> one_category() {
  return fail(Category::refused,
              "only one category was used, so chance alone explains all agreement");
}

// Weighted agreement within one item: share of its ordered pairs of ratings. Needs two ratings.
double item_agreement(const std::vector<double>& row, const Matrix& weights) {
  const double r = total(row);
  double sum = 0;
  for (std::size_t k = 0; k < row.size(); ++k) {
    if (row[k] == 0) continue;
    double met = 0;
    for (std::size_t l = 0; l < row.size(); ++l) met += weights(k, l) * row[l];
    sum += row[k] * (met - 1);
  }
  return sum / (r * (r - 1));
}

struct Overview {
  double items = 0;            // rated at all
  double paired = 0;           // rated twice or more
  double observed = 0;         // mean agreement of those
  std::vector<double> shares;  // of the categories, each item weighing alike
};

Overview overview(const CategoryCounts& counts, const Matrix& weights) {
  Overview o;
  o.shares.resize(weights.size());
  for (const auto& row : counts) {
    const double r = total(row);
    if (r < 1) continue;
    o.items += 1;
    for (std::size_t k = 0; k < row.size(); ++k) o.shares[k] += row[k] / r;
    if (r < 2) continue;
    o.paired += 1;
    o.observed += item_agreement(row, weights);
  }
  for (double& share : o.shares) share /= std::max(1.0, o.items);
  o.observed /= std::max(1.0, o.paired);
  return o;
}

bool one_category_only(const std::vector<double>& shares) {
  return std::count_if(shares.begin(), shares.end(), [](double s) { return s > 0; }) < 2;
}

// Standard error by linearising over items: what each item adds to agreement and to chance.
//   `chance` gives an item's part of the expected agreement (its mean over items is `expected`).
template <class Chance>
double linearised_se(const CategoryCounts& counts, const Matrix& weights, const Overview& o,
                     double value, double expected, double slope, Chance chance) {
  if (o.items < 2) return 0;
  double sum = 0;
  for (const auto& row : counts) {
    const double r = total(row);
    if (r < 1) continue;
    const double paired = r < 2 ? 0 : (item_agreement(row, weights) - expected);
    const double own = r < 2 ? 0 : o.items / o.paired * paired / (1 - expected);
    const double part = own - slope * (1 - value) * (chance(row, r) - expected) / (1 - expected);
    sum += (part - value) * (part - value);
  }
  return std::sqrt(sum / (o.items * (o.items - 1)));
}

}  // namespace

CategoryCounts count_categories(const RatingColumns& ratings, std::size_t categories) {
  CategoryCounts counts(ratings.size(), std::vector<double>(categories));
  for (std::size_t i = 0; i < ratings.size(); ++i) {
    for (const auto& rating : ratings[i]) {
      if (rating) counts[i][*rating] += 1;
    }
  }
  return counts;
}

Result<GroupMeasure> fleiss_kappa(const CategoryCounts& counts) {
  if (counts.empty()) return never_twice();
  const Matrix weights = agreement_weights(counts.front().size(), Weights::identity);
  const Overview o = overview(counts, weights);
  if (o.paired == 0) return never_twice();
  if (one_category_only(o.shares)) return one_category();
  GroupMeasure m;
  m.observed = o.observed;
  for (const double share : o.shares) m.expected += share * share;
  m.value = (m.observed - m.expected) / (1 - m.expected);
  m.se = linearised_se(counts, weights, o, m.value, m.expected, 2,
                       [&](const std::vector<double>& row, double r) {
                         double sum = 0;
                         for (std::size_t k = 0; k < row.size(); ++k) {
                           sum += o.shares[k] * row[k] / r;
                         }
                         return sum;
                       });
  return m;
}

namespace {

struct EvenCounts {
  double items = 0;
  double ratings = 0;  // an item
  std::vector<double> shares;
};

Result<EvenCounts> even_counts(const CategoryCounts& counts) {
  if (counts.empty()) return never_twice();
  EvenCounts even{static_cast<double>(counts.size()), total(counts.front()),
                  std::vector<double>(counts.front().size())};
  for (const auto& row : counts) {
    if (total(row) != even.ratings) {
      return fail(Category::refused,
                  "items have different numbers of ratings, and the standard "
                  "error of 1979 needs the same number for each");
    }
    for (std::size_t k = 0; k < row.size(); ++k) even.shares[k] += row[k];
  }
  if (even.ratings < 2) return never_twice();
  for (double& share : even.shares) share /= even.items * even.ratings;
  return even;
}

}  // namespace

Result<double> fleiss_se_null(const CategoryCounts& counts) {
  const Result<EvenCounts> even = even_counts(counts);
  if (!even) return tl::unexpected(even.error());
  if (one_category_only(even->shares)) return one_category();
  double pq = 0;
  double skew = 0;
  for (const double p : even->shares) {
    pq += p * (1 - p);
    skew += p * (1 - p) * (1 - 2 * p);
  }
  const double m = even->ratings;
  return std::sqrt(2 / (even->items * m * (m - 1)) * (pq * pq - skew)) / pq;
}

Result<CategoryKappa> fleiss_kappa_of(const CategoryCounts& counts, std::size_t category) {
  const Result<EvenCounts> even = even_counts(counts);
  if (!even) return tl::unexpected(even.error());
  const double p = even->shares[category];
  if (p <= 0) return fail(Category::refused, "the category was never used");
  if (p >= 1) return one_category();
  const double m = even->ratings;
  double split = 0;
  for (const auto& row : counts) split += row[category] * (m - row[category]);
  return CategoryKappa{1 - split / (even->items * m * (m - 1) * p * (1 - p)),
                       std::sqrt(2 / (even->items * m * (m - 1)))};
}

Result<double> light_kappa(const RatingColumns& ratings, std::size_t categories) {
  const std::size_t raters = ratings.empty() ? 0 : ratings.front().size();
  if (raters < 2) return fail(Category::refused, "one rater only");
  double sum = 0;
  for (std::size_t a = 0; a < raters; ++a) {
    for (std::size_t b = a + 1; b < raters; ++b) {
      Matrix counts(categories);
      for (const auto& row : ratings) {
        if (row[a] && row[b]) counts(*row[a], *row[b]) += 1;
      }
      const Result<Kappa> k = kappa(counts);
      if (!k) {
        return fail(Category::refused,
                    "the kappa of one pair is not defined: " + k.error().message);
      }
      sum += k->value;
    }
  }
  return 2 * sum / static_cast<double>(raters * (raters - 1));
}

Result<double> conger_kappa(const RatingColumns& ratings, std::size_t categories) {
  const std::size_t columns = ratings.empty() ? 0 : ratings.front().size();
  std::vector<std::vector<double>> shares;  // of each rater who rated
  for (std::size_t rater = 0; rater < columns; ++rater) {
    std::vector<double> own(categories);
    for (const auto& row : ratings) {
      if (row[rater]) own[*row[rater]] += 1;
    }
    const double n = total(own);
    if (n == 0) continue;
    for (double& share : own) share /= n;
    shares.push_back(std::move(own));
  }
  const auto raters = static_cast<double>(shares.size());
  if (raters < 2) return fail(Category::refused, "one rater only");
  const CategoryCounts counts = count_categories(ratings, categories);
  const Overview o = overview(counts, agreement_weights(categories, Weights::identity));
  if (o.paired == 0) return never_twice();
  if (one_category_only(o.shares)) return one_category();
  double expected = 0;
  for (std::size_t k = 0; k < categories; ++k) {
    double mean = 0;
    double squares = 0;
    for (const auto& own : shares) mean += own[k] / raters;
    for (const auto& own : shares) squares += (own[k] - mean) * (own[k] - mean);
    expected += mean * mean - squares / (raters - 1) / raters;
  }
  return (o.observed - expected) / (1 - expected);
}

Result<double> krippendorff_alpha(const CategoryCounts& counts, Scale scale) {
  if (counts.empty()) return never_twice();
  const std::size_t q = counts.front().size();
  std::vector<double> n(q);  // pairable values by category
  for (const auto& row : counts) {
    if (total(row) < 2) continue;
    for (std::size_t k = 0; k < q; ++k) n[k] += row[k];
  }
  const double all = total(n);
  if (all < 2) return never_twice();
  if (one_category_only(n)) return one_category();
  const auto distance = [&](std::size_t c, std::size_t k) {
    if (c == k) return 0.0;
    if (scale == Scale::nominal) return 1.0;
    double between = 0;
    for (std::size_t g = std::min(c, k); g <= std::max(c, k); ++g) between += n[g];
    between -= (n[c] + n[k]) / 2;
    return between * between;
  };
  double observed = 0;
  double expected = 0;
  for (std::size_t c = 0; c < q; ++c) {
    for (std::size_t k = 0; k < q; ++k) {
      const double d = distance(c, k);
      if (d == 0) continue;
      expected += n[c] * n[k] * d;
      for (const auto& row : counts) {
        const double r = total(row);
        if (r >= 2) observed += row[c] * row[k] / (r - 1) * d;
      }
    }
  }
  return 1 - (all - 1) * observed / expected;
}

Result<GroupMeasure> gwet_ac(const CategoryCounts& counts, Weights kind) {
  if (counts.empty()) return never_twice();
  const std::size_t q = counts.front().size();
  if (q < 2) return fail(Category::refused, "a scale of one category leaves nothing to chance");
  const Matrix weights = agreement_weights(q, kind);
  const Overview o = overview(counts, weights);
  if (o.paired == 0) return never_twice();
  const auto k = static_cast<double>(q);
  const double scale = weights.sum() / (k * (k - 1));
  GroupMeasure m;
  m.observed = o.observed;
  for (const double share : o.shares) m.expected += scale * share * (1 - share);
  m.value = (m.observed - m.expected) / (1 - m.expected);
  m.se = linearised_se(counts, weights, o, m.value, m.expected, 2,
                       [&](const std::vector<double>& row, double r) {
                         double sum = 0;
                         for (std::size_t c = 0; c < q; ++c) {
                           sum += scale * row[c] / r * (1 - o.shares[c]);
                         }
                         return sum;
                       });
  return m;
}

}  // namespace lastlook::analytics
