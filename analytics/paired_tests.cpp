// SPDX-License-Identifier: Apache-2.0
#include "analytics/paired_tests.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <numeric>
#include <span>
#include <utility>

#include "analytics/distributions.h"

namespace lastlook::analytics {
namespace {

ChiSquared chi_squared(double value, double freedom) {
  return {value, freedom, chi_squared_upper_tail(value, freedom)};
}

// Ranks from 1, ties at their mean, and the sum of t^3 - t over groups of t ties.
struct Ranks {
  std::vector<double> rank;
  double ties = 0;
};

Ranks ranks_of(const std::vector<double>& values) {
  std::vector<std::size_t> order(values.size());
  std::iota(order.begin(), order.end(), 0U);
  std::sort(order.begin(), order.end(),
            [&](std::size_t a, std::size_t b) { return values[a] < values[b]; });
  Ranks out{std::vector<double>(values.size()), 0};
  for (std::size_t from = 0; from < order.size();) {
    std::size_t to = from;
    while (to < order.size() && values[order[to]] == values[order[from]]) ++to;
    const auto t = static_cast<double>(to - from);
    const double mean = (static_cast<double>(from) + 1 + static_cast<double>(to)) / 2;
    for (std::size_t i = from; i < to; ++i) out.rank[order[i]] = mean;
    out.ties += t * t * t - t;
    from = to;
  }
  return out;
}

template <class Row>
bool even(const std::vector<Row>& rows) {
  return std::all_of(rows.begin(), rows.end(),
                     [&](const Row& row) { return row.size() == rows[0].size(); });
}

tl::unexpected<Error> uneven() {
  return fail(Category::bad_input,
              "rows of different length: expected a rating by everyone for each unit");
}

}  // namespace

Result<McNemar> mcnemar(std::int64_t b, std::int64_t c, std::int64_t n, double confidence) {
  if (n < 1 || b < 0 || c < 0 || b + c > n) {
    return fail(
        Category::bad_input,
        fmt::format(
            "{} and {} differing of {} units: expected 0 or more, and no more than the units", b, c,
            n));
  }
  McNemar out;
  const auto differing = static_cast<double>(b + c);
  const auto excess = static_cast<double>(b - c);
  const auto units = static_cast<double>(n);
  if (b + c > 0) {
    out.chi_squared = excess * excess / differing;
    out.p_value = std::min(1.0, 2 * binomial_lower_tail(std::min(b, c), b + c, 0.5));
  }
  out.difference = excess / units;
  out.se = std::sqrt(std::max(0.0, differing - excess * excess / units)) / units;
  const double half = two_sided_z(confidence) * out.se;
  out.limits = {out.difference - half, out.difference + half};
  return out;
}

Result<ChiSquared> cochran_q(const std::vector<std::vector<bool>>& yes) {
  if (yes.empty() || yes[0].size() < 2) return fail(Category::refused, "fewer than two raters");
  if (!even(yes)) return uneven();
  const auto k = static_cast<double>(yes[0].size());
  std::vector<double> by_rater(yes[0].size());
  double total = 0;
  double squares_of_units = 0;
  for (const auto& row : yes) {
    double unit = 0;
    for (std::size_t j = 0; j < row.size(); ++j) {
      if (!row[j]) continue;
      by_rater[j] += 1;
      unit += 1;
    }
    total += unit;
    squares_of_units += unit * unit;
  }
  const double divisor = k * total - squares_of_units;
  if (divisor <= 0) return fail(Category::refused, "the raters never differ on a unit");
  const double squares =
      std::inner_product(by_rater.begin(), by_rater.end(), by_rater.begin(), 0.0);
  return chi_squared((k - 1) * (k * squares - total * total) / divisor, k - 1);
}

Result<Concordance> kendall_w(const std::vector<std::vector<double>>& ratings) {
  if (ratings.size() < 2 || ratings[0].size() < 2) {
    return fail(Category::refused, "concordance needs two raters and two units");
  }
  if (!even(ratings)) return uneven();
  const auto m = static_cast<double>(ratings.size());
  const auto n = static_cast<double>(ratings[0].size());
  std::vector<double> sums(ratings[0].size());
  double ties = 0;
  for (const auto& row : ratings) {
    const Ranks ranks = ranks_of(row);
    ties += ranks.ties;
    for (std::size_t i = 0; i < sums.size(); ++i) sums[i] += ranks.rank[i];
  }
  double s = 0;
  for (const double sum : sums) s += (sum - m * (n + 1) / 2) * (sum - m * (n + 1) / 2);
  const double divisor = m * m * (n * n * n - n) - m * ties;
  if (divisor <= 0)
    return fail(Category::refused, "each rater gave one and the same rating throughout");
  const double w = 12 * s / divisor;
  return Concordance{w, chi_squared(m * (n - 1) * w, n - 1)};
}

namespace {

// Pairs among equals: runs of one value in a sorted range.
template <class Range, class Same>
double pairs_of_equals(const Range& sorted, Same same) {
  double pairs = 0;
  for (std::size_t first = 0; first < sorted.size();) {
    std::size_t end = first + 1;
    while (end < sorted.size() && same(sorted[first], sorted[end])) ++end;
    const auto run = static_cast<double>(end - first);
    pairs += run * (run - 1) / 2;
    first = end;
  }
  return pairs;
}

// Sorts and says how many pairs stood the wrong way round.
double inversions(std::span<double> values, std::span<double> scratch) {
  if (values.size() < 2) return 0;
  const std::size_t half = values.size() / 2;
  double count = inversions(values.first(half), scratch.first(half)) +
                 inversions(values.subspan(half), scratch.subspan(half));
  for (std::size_t i = 0, j = half, at = 0; at < values.size(); ++at) {
    const bool left = j == values.size() || (i < half && values[i] <= values[j]);
    if (!left) count += static_cast<double>(half - i);
    scratch[at] = values[left ? i++ : j++];
  }
  std::copy(scratch.begin(), scratch.end(), values.begin());
  return count;
}

}  // namespace

Result<double> kendall_tau_b(const std::vector<double>& x, const std::vector<double>& y) {
  if (x.size() != y.size()) return uneven();
  if (x.size() < 2) return fail(Category::refused, "fewer than two units were rated by both");
  const auto n = static_cast<double>(x.size());
  std::vector<std::pair<double, double>> units;
  for (std::size_t i = 0; i < x.size(); ++i) units.emplace_back(x[i], y[i]);
  std::sort(units.begin(), units.end());
  const double tied_both = pairs_of_equals(units, std::equal_to<>());
  const double tied_x =
      pairs_of_equals(units, [](const auto& a, const auto& b) { return a.first == b.first; });
  std::vector<double> by_x;
  for (const auto& unit : units) by_x.push_back(unit.second);
  std::vector<double> scratch(by_x.size());
  const double discordant = inversions(by_x, scratch);  // by_x is sorted from here on
  const double tied_y = pairs_of_equals(by_x, std::equal_to<>());
  const double all = n * (n - 1) / 2;
  if (tied_x == all || tied_y == all)
    return fail(Category::refused, "one of the two rates all units alike");
  return (all - tied_x - tied_y + tied_both - 2 * discordant) /
         std::sqrt((all - tied_x) * (all - tied_y));
}

}  // namespace lastlook::analytics
