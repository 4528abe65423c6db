// SPDX-License-Identifier: Apache-2.0
#include "analytics/linear_programme.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace lastlook::analytics {
namespace {

constexpr double kZero = 1e-11;

// Rows of equations, solved for one unknown each. The first unknowns are the caller's; behind them
// one artificial unknown an equation, which phase one drives to 0.
class Tableau {
 public:
  Tableau(const std::vector<std::vector<double>>& equations, const std::vector<double>& values,
          std::size_t unknowns)
      : unknowns_(unknowns) {
    for (std::size_t r = 0; r < equations.size(); ++r) {
      const double sign = values[r] < 0 ? -1 : 1;
      std::vector<double> row(unknowns + equations.size() + 1);
      for (std::size_t c = 0; c < unknowns; ++c) row[c] = sign * equations[r][c];
      row[unknowns + r] = 1;
      row.back() = sign * values[r];
      rows_.push_back(std::move(row));
      solved_.push_back(unknowns + r);
    }
  }

  // False: no largest value.
  bool maximise(std::vector<double> gain, std::size_t usable) {
    gain.resize(unknowns_ + rows_.size());
    while (const auto enter = entering(gain, usable)) {
      const auto leave = leaving(*enter);
      if (!leave) return false;
      pivot(*leave, *enter);
    }
    return true;
  }

  double value_of(std::vector<double> gain) const {
    gain.resize(unknowns_ + rows_.size());
    double sum = 0;
    for (std::size_t r = 0; r < rows_.size(); ++r) sum += gain[solved_[r]] * rows_[r].back();
    return sum;
  }

  // Artificial unknowns at 0 that still solve a row give way, or the row repeats others.
  void drop_artificial() {
    for (std::size_t r = rows_.size(); r-- > 0;) {
      if (solved_[r] < unknowns_) continue;
      const auto own =
          std::find_if(rows_[r].begin(), rows_[r].begin() + static_cast<std::ptrdiff_t>(unknowns_),
                       [](double c) { return std::abs(c) > kZero; });
      const auto column = static_cast<std::size_t>(own - rows_[r].begin());
      if (column < unknowns_) pivot(r, column);
    }
  }

 private:
  std::optional<std::size_t> entering(const std::vector<double>& gain, std::size_t usable) const {
    for (std::size_t c = 0; c < usable; ++c) {
      double net = gain[c];
      for (std::size_t r = 0; r < rows_.size(); ++r) net -= gain[solved_[r]] * rows_[r][c];
      if (net > kZero) return c;
    }
    return std::nullopt;
  }

  std::optional<std::size_t> leaving(std::size_t enter) const {
    std::optional<std::size_t> best;
    double least = HUGE_VAL;
    for (std::size_t r = 0; r < rows_.size(); ++r) {
      if (rows_[r][enter] <= kZero) continue;
      const double ratio = rows_[r].back() / rows_[r][enter];
      const bool tied = best && std::abs(ratio - least) <= kZero;
      if (tied ? solved_[r] < solved_[*best] : ratio < least) {
        best = r;
        least = std::min(least, ratio);
      }
    }
    return best;
  }

  void pivot(std::size_t row, std::size_t column) {
    const double by = rows_[row][column];
    for (double& c : rows_[row]) c /= by;
    for (std::size_t r = 0; r < rows_.size(); ++r) {
      const double factor = rows_[r][column];
      if (r == row || factor == 0) continue;
      for (std::size_t c = 0; c < rows_[r].size(); ++c) rows_[r][c] -= factor * rows_[row][c];
    }
    solved_[row] = column;
  }

  std::size_t unknowns_;
  std::vector<std::vector<double>> rows_;
  std::vector<std::size_t> solved_;
};

}  // namespace

Result<double> largest(const std::vector<double>& gain,
                       const std::vector<std::vector<double>>& equations,
                       const std::vector<double>& values) {
  const bool even = equations.size() == values.size() &&
                    std::all_of(equations.begin(), equations.end(),
                                [&](const auto& row) { return row.size() == gain.size(); });
  if (!even || gain.empty())
    return fail(Category::bad_input, "equations of other lengths: expected one term an unknown");
  Tableau tableau(equations, values, gain.size());
  std::vector<double> artificial(gain.size());
  artificial.resize(gain.size() + equations.size(), -1);
  tableau.maximise(artificial, artificial.size());
  if (tableau.value_of(artificial) < -1e-9)
    return fail(Category::refused, "no numbers meet all equations");
  tableau.drop_artificial();
  if (!tableau.maximise(gain, gain.size())) return fail(Category::refused, "no largest value");
  return tableau.value_of(gain);
}

}  // namespace lastlook::analytics
