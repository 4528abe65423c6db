// SPDX-License-Identifier: Apache-2.0
#include "analytics/kappa.h"

#include <cmath>
#include <map>
#include <numeric>

namespace lastlook::analytics {
namespace {

// A table of shares with all that the formulas of kappa ask of it.
struct Shares {
  Matrix p;                    // cells
  std::vector<double> row;     // of rater a
  std::vector<double> column;  // of rater b
  std::vector<double> of_row;  // weight that row i meets by chance
  std::vector<double> of_column;
  double n = 0;
  double observed = 0;
  double expected = 0;
};

Shares shares(const Matrix& counts, const Matrix& weights) {
  const std::size_t k = counts.size();
  Shares s{Matrix(k),
           std::vector<double>(k),
           std::vector<double>(k),
           std::vector<double>(k),
           std::vector<double>(k),
           counts.sum()};
  for (std::size_t i = 0; i < k; ++i) {
    for (std::size_t j = 0; j < k; ++j) {
      s.p(i, j) = counts(i, j) / s.n;
      s.row[i] += s.p(i, j);
      s.column[j] += s.p(i, j);
      s.observed += weights(i, j) * s.p(i, j);
    }
  }
  for (std::size_t i = 0; i < k; ++i) {
    for (std::size_t j = 0; j < k; ++j) {
      s.of_row[i] += weights(i, j) * s.column[j];
      s.of_column[j] += weights(i, j) * s.row[i];
      s.expected += weights(i, j) * s.row[i] * s.column[j];
    }
  }
  return s;
}

bool one_category_only(const Matrix& counts) {
  for (std::size_t i = 0; i < counts.size(); ++i) {
    if (counts(i, i) == counts.sum()) return true;
  }
  return false;
}

// What one pair in cell (i, j) adds to kappa, before centring and scaling.
double influence(const Shares& s, const Matrix& weights, double kappa, std::size_t i,
                 std::size_t j) {
  return weights(i, j) - (s.of_row[i] + s.of_column[j]) * (1 - kappa);
}

double standard_error(const Shares& s, const Matrix& weights, double kappa) {
  double sum = 0;
  for (std::size_t i = 0; i < weights.size(); ++i) {
    for (std::size_t j = 0; j < weights.size(); ++j) {
      const double u = influence(s, weights, kappa, i, j);
      sum += s.p(i, j) * u * u;
    }
  }
  const double mean = kappa - s.expected * (1 - kappa);
  const double variance = std::max(0.0, sum - mean * mean);
  return std::sqrt(variance / s.n) / (1 - s.expected);
}

double standard_error_of_null(const Shares& s, const Matrix& weights) {
  double sum = 0;
  for (std::size_t i = 0; i < weights.size(); ++i) {
    for (std::size_t j = 0; j < weights.size(); ++j) {
      const double u = weights(i, j) - (s.of_row[i] + s.of_column[j]);
      sum += s.row[i] * s.column[j] * u * u;
    }
  }
  const double variance = std::max(0.0, sum - s.expected * s.expected);
  return std::sqrt(variance / s.n) / (1 - s.expected);
}

Status checked(const Matrix& counts) {
  if (!(counts.sum() > 0)) return fail(Category::refused, "the two have no item in common");
  if (one_category_only(counts)) {
    return fail(Category::refused,
                "both used one and the same category throughout, so chance alone explains all");
  }
  return {};
}

}  // namespace

Matrix::Matrix(const std::vector<std::vector<double>>& rows) : Matrix(rows.size()) {
  for (std::size_t i = 0; i < size_; ++i) {
    for (std::size_t j = 0; j < size_ && j < rows[i].size(); ++j) (*this)(i, j) = rows[i][j];
  }
}

double Matrix::sum() const {
  return std::accumulate(cells_.begin(), cells_.end(), 0.0);
}

Matrix agreement_weights(std::size_t categories, Weights weights) {
  Matrix w(categories);
  for (std::size_t i = 0; i < categories; ++i) {
    for (std::size_t j = 0; j < categories; ++j) {
      const double step = i > j ? static_cast<double>(i - j) : static_cast<double>(j - i);
      const double share = i == j ? 0 : step / static_cast<double>(categories - 1);
      switch (weights) {
        case Weights::identity:
          w(i, j) = i == j ? 1 : 0;
          break;
        case Weights::linear:
          w(i, j) = 1 - share;
          break;
        case Weights::quadratic:
          w(i, j) = 1 - share * share;
          break;
      }
    }
  }
  return w;
}

Result<Kappa> kappa(const Matrix& counts, const Matrix& weights) {
  if (const Status status = checked(counts); !status) return tl::unexpected(status.error());
  const Shares s = shares(counts, weights);
  Kappa k;
  k.n = s.n;
  k.observed = s.observed;
  k.expected = s.expected;
  k.value = (s.observed - s.expected) / (1 - s.expected);
  k.se = standard_error(s, weights, k.value);
  k.se_null = standard_error_of_null(s, weights);
  return k;
}

Result<Kappa> kappa(const Matrix& counts, Weights weights) {
  return kappa(counts, agreement_weights(counts.size(), weights));
}

Matrix cross_table(const std::vector<RatedPair>& pairs, std::size_t categories) {
  Matrix counts(categories);
  for (const RatedPair& pair : pairs) counts(pair.a, pair.b) += 1;
  return counts;
}

Result<double> kappa_se_by_item(const std::vector<RatedPair>& pairs, std::size_t categories,
                                Weights kind) {
  const Matrix counts = cross_table(pairs, categories);
  const Matrix weights = agreement_weights(categories, kind);
  const Result<Kappa> k = kappa(counts, weights);
  if (!k) return tl::unexpected(k.error());
  const Shares s = shares(counts, weights);
  const double mean = k->value - s.expected * (1 - k->value);
  std::map<std::size_t, double> by_item;
  for (const RatedPair& pair : pairs) {
    by_item[pair.item] += influence(s, weights, k->value, pair.a, pair.b) - mean;
  }
  if (by_item.size() < 2) return fail(Category::refused, "a single item says nothing about spread");
  double sum = 0;
  for (const auto& [item, value] : by_item) sum += value * value;
  return std::sqrt(sum) / s.n / (1 - s.expected);
}

Result<Interval> kappa_interval(double value, double se, double confidence) {
  // What is 0 comes out as some 1e-16, for it is summed up of rounded terms.
  if (!(se > 1e-12)) {
    return fail(
        Category::refused,
        "no two ratings differ in a way that shows doubt, so the large-sample method has no "
        "interval");
  }
  const double half = two_sided_z(confidence) * se;
  return Interval{value - half, value + half};
}

Result<TwoRaterIndices> two_rater_indices(const Matrix& counts) {
  const auto k = static_cast<double>(counts.size());
  const double n = counts.sum();
  if (!(n > 0)) return fail(Category::refused, "the two have no item in common");
  if (counts.size() < 2) return fail(Category::refused, "a scale of one category");
  double agree = 0;
  for (std::size_t i = 0; i < counts.size(); ++i) agree += counts(i, i);
  TwoRaterIndices indices;
  indices.pabak = (k * agree / n - 1) / (k - 1);
  if (counts.size() == 2) {
    indices.prevalence_index = std::abs(counts(0, 0) - counts(1, 1)) / n;
    indices.bias_index = std::abs(counts(0, 1) - counts(1, 0)) / n;
  }
  return indices;
}

}  // namespace lastlook::analytics
