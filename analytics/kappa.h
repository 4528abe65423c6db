// SPDX-License-Identifier: Apache-2.0
// Agreement of two raters over one scale, from their table of counts.
#pragma once

#include <cstdint>
#include <vector>

#include "analytics/interval.h"
#include "analytics/result.h"

namespace lastlook::analytics {

// rows x columns of numbers, square.
class Matrix {
 public:
  explicit Matrix(std::size_t size = 0) : size_(size), cells_(size * size) {}
  explicit Matrix(const std::vector<std::vector<double>>& rows);

  double& operator()(std::size_t row, std::size_t column) { return cells_[row * size_ + column]; }
  double operator()(std::size_t row, std::size_t column) const {
    return cells_[row * size_ + column];
  }
  std::size_t size() const { return size_; }
  double sum() const;

 private:
  std::size_t size_;
  std::vector<double> cells_;
};

enum class Weights {
  identity,   // agree or not
  linear,     // 1 - |i - j| / (k - 1)
  quadratic,  // 1 - ((i - j) / (k - 1))^2
};

// How much a disagreement of category i with j still counts as agreement, 0 to 1. One category: 1.
Matrix agreement_weights(std::size_t categories, Weights weights);

struct Kappa {
  double value = 0;
  double se = 0;       // large-sample standard error
  double se_null = 0;  // under the hypothesis that kappa is 0
  double observed = 0;
  double expected = 0;  // agreement that the raters' own shares give by chance
  double n = 0;         // pairs of ratings
};

// Definition: (observed - expected) / (1 - expected) agreement, each cell by its weight.
// Divisor: pairs of ratings; the standard error divides by n, not n - 1.
// Least n: 1 pair.
// Edges: no pairs, or both raters used one and the same category throughout -> refused, with the
//   reason (0/0). Perfect agreement over two categories and more -> 1, standard error 0.
// Interval method: value +- z se, see kappa_interval().
// Source: Cohen (1960) Educ Psychol Meas 20:37; Cohen (1968) Psychol Bull 70:213; standard errors
//   of Fleiss, Cohen & Everitt (1969) Psychol Bull 72:323.
Result<Kappa> kappa(const Matrix& counts, const Matrix& weights);
Result<Kappa> kappa(const Matrix& counts, Weights weights = Weights::identity);

// One pair of ratings and the item that it belongs to.
struct RatedPair {
  std::size_t item = 0;
  std::size_t a = 0;  // category, from 0
  std::size_t b = 0;
};

Matrix cross_table(const std::vector<RatedPair>& pairs, std::size_t categories);

// Definition: standard error of kappa where the pairs of one item go together (repeated trials):
//   the linearised kappa summed within each item. With one pair an item it is the `se` of kappa().
// Divisor: pairs, squared.
// Least n: 2 items.
// Edges: as kappa(); a single item -> refused.
// Interval method: none.
// Source: the delta method behind Fleiss, Cohen & Everitt (1969), with clusters as in Yang & Zhou
//   (2014) Stat Med 33:2425 (from memory).
Result<double> kappa_se_by_item(const std::vector<RatedPair>& pairs, std::size_t categories,
                                Weights weights = Weights::identity);

// Definition: value +- z se, not cut at 1: a limit beyond 1 says that the sample is small.
// Divisor: none.
// Least n: 2.
// Edges: se of 0, or what rounding leaves of it (perfect agreement; a rater who never varies) ->
//   refused: the method knows no doubt there.
// Interval method: normal, by the large-sample error.
// Source: Fleiss, Cohen & Everitt (1969).
Result<Interval> kappa_interval(double value, double se, double confidence = kConfidence);

// Agreement measured past prevalence and bias, two raters.
struct TwoRaterIndices {
  double pabak = 0;             // (k observed - 1) / (k - 1); with two categories 2 observed - 1
  double prevalence_index = 0;  // two categories: |a - d| / n
  double bias_index = 0;        // two categories: |b - c| / n
};

// Definition: as beside the members.
// Divisor: pairs.
// Least n: 1 pair, 2 categories.
// Edges: no pairs or fewer than two categories -> refused; more than two -> the indices are 0.
// Interval method: none.
// Source: Byrt, Bishop & Carlin (1993) J Clin Epidemiol 46:423; Brennan & Prediger (1981) Educ
//   Psychol Meas 41:687 for more than two categories.
Result<TwoRaterIndices> two_rater_indices(const Matrix& counts);

}  // namespace lastlook::analytics
