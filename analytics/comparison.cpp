// SPDX-License-Identifier: Apache-2.0
#include "analytics/comparison.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "analytics/multiplicity.h"
#include "analytics/random_stream.h"

namespace lastlook::analytics {
namespace {

constexpr std::size_t kLeastBatches = 3;
constexpr int kExchanges = 9999;

// Hits of the first sample, all margins fixed.
class Hypergeometric {
 public:
  Hypergeometric(Share a, Share b)
      : a_(static_cast<double>(a.units)),
        b_(static_cast<double>(b.units)),
        hits_(static_cast<double>(a.hits + b.hits)),
        least_(std::max(0.0, hits_ - b_)),
        most_(std::min(a_, hits_)) {}

  double mode() const {
    return std::clamp(std::floor((a_ + 1) * (hits_ + 1) / (a_ + b_ + 2)), least_, most_);
  }
  double least() const { return least_; }
  double most() const { return most_; }
  double log_pmf(double x) const {
    return choose(a_, x) + choose(b_, hits_ - x) - choose(a_ + b_, hits_);
  }
  // From x outwards, `step` 1 or -1, until it no longer counts.
  double tail(double x, double step) const {
    double sum = 0;
    for (; x >= least_ && x <= most_; x += step) {
      const double term = std::exp(log_pmf(x));
      sum += term;
      if (term <= 1e-17 * sum) break;
    }
    return sum;
  }

 private:
  static double choose(double n, double k) {
    return std::lgamma(n + 1) - std::lgamma(k + 1) - std::lgamma(n - k + 1);
  }

  double a_;
  double b_;
  double hits_;
  double least_;
  double most_;
};

double share_of(const Share& s) {
  return static_cast<double>(s.hits) / static_cast<double>(s.units);
}

Status checked(const Share& share, const std::string& name) {
  if (share.hits >= 0 && share.hits <= share.units && share.units > 0) return {};
  return fail(Category::bad_input,
              fmt::format("{}: {} of {}, expected at least one unit and at most as many hits", name,
                          share.hits, share.units));
}

void correct(std::vector<Difference>& rows, const ComparisonOptions& options) {
  std::vector<double> p;
  for (const Difference& row : rows) p.push_back(row.p_value);
  const std::vector<double> adjusted =
      options.correction == Correction::holm ? holm(p) : benjamini_hochberg(p);
  for (std::size_t i = 0; i < rows.size(); ++i) {
    rows[i].adjusted_p = adjusted[i];
    rows[i].changed = adjusted[i] <= 1 - options.confidence;
  }
}

// The sums behind one cell: hits before, units before, hits after, units after.
double difference_of(const double* hits_before, double units_before, const double* hits_after,
                     double units_after, std::size_t cell) {
  return hits_after[cell] / units_after - hits_before[cell] / units_before;
}

// All batches in one list, those before first: each a row of hits and, last, units.
struct BatchRows {
  std::size_t cells = 0;
  std::size_t before = 0;
  std::vector<std::vector<double>> rows;

  std::vector<double> sums(const std::vector<std::size_t>& which, std::size_t from,
                           std::size_t end) const {
    std::vector<double> out(cells + 1);
    for (std::size_t i = from; i < end; ++i) {
      for (std::size_t k = 0; k <= cells; ++k) out[k] += rows[which[i]][k];
    }
    return out;
  }
};

// For each cell the share of random exchanges that lie at least as far from 0 as the data.
std::vector<double> exchange_p(const BatchRows& data, const std::vector<Difference>& rows,
                               std::uint64_t seed) {
  std::vector<std::size_t> order(data.rows.size());
  std::iota(order.begin(), order.end(), 0U);
  std::vector<int> as_far(data.cells, 1);
  for (int r = 0; r < kExchanges; ++r) {
    RandomStream stream(seed, static_cast<std::uint64_t>(r));
    for (std::size_t i = 0; i < data.before; ++i) {
      const auto left = static_cast<std::uint32_t>(order.size() - i);
      std::swap(order[i], order[i + stream.below(left)]);
    }
    const auto before = data.sums(order, 0, data.before);
    const auto after = data.sums(order, data.before, order.size());
    for (std::size_t k = 0; k < data.cells; ++k) {
      const double d = difference_of(before.data(), before.back(), after.data(), after.back(), k);
      // An exchange that leaves a period without units says nothing against chance.
      if (!(std::abs(d) < std::abs(rows[k].value) - 1e-12)) ++as_far[k];
    }
  }
  std::vector<double> out;
  for (const int count : as_far) out.push_back(static_cast<double>(count) / (kExchanges + 1));
  return out;
}

void find_batch_limits(const BatchRows& data, std::vector<Difference>& rows,
                       const ComparisonOptions& options) {
  const std::size_t half = data.cells + 1;
  std::vector<double> flat;
  for (std::size_t i = 0; i < data.rows.size(); ++i) {
    const std::vector<double> none(half);
    const auto& first = i < data.before ? data.rows[i] : none;
    const auto& second = i < data.before ? none : data.rows[i];
    flat.insert(flat.end(), first.begin(), first.end());
    flat.insert(flat.end(), second.begin(), second.end());
  }
  BootstrapOptions resampling = options.resampling;
  resampling.confidence = options.confidence;
  resampling.samples = {data.before, data.rows.size() - data.before};
  const Resamples resamples(std::move(flat), 2 * half, resampling);
  for (std::size_t k = 0; k < rows.size(); ++k) {
    rows[k].limits = resamples.bca([&](std::span<const double> sums) -> std::optional<double> {
      if (!(sums[half - 1] > 0 && sums[2 * half - 1] > 0)) return std::nullopt;
      return difference_of(&sums[0], sums[half - 1], &sums[half], sums[2 * half - 1], k);
    });
  }
}

BatchRows rows_of(std::size_t cells, const std::vector<Batch>& before,
                  const std::vector<Batch>& after) {
  BatchRows data{cells, before.size(), {}};
  for (const auto* period : {&before, &after}) {
    for (const Batch& batch : *period) {
      auto& row = data.rows.emplace_back();
      for (const std::int64_t hits : batch.hits) row.push_back(static_cast<double>(hits));
      row.push_back(static_cast<double>(batch.units));
    }
  }
  return data;
}

Share sum_of(const std::vector<Batch>& batches, std::size_t cell) {
  Share sum;
  for (const Batch& batch : batches) {
    sum.hits += batch.hits[cell];
    sum.units += batch.units;
  }
  return sum;
}

}  // namespace

Result<double> fisher_exact(Share a, Share b) {
  for (const Share& s : {a, b}) {
    if (s.hits < 0 || s.hits > s.units) {
      return fail(Category::bad_input,
                  fmt::format("{} hits in {} units: expected 0 to {}", s.hits, s.units, s.units));
    }
  }
  constexpr double kTie = 1e-7;  // so that tables of equal probability stay equal after rounding
  const Hypergeometric table(a, b);
  const auto x = static_cast<double>(a.hits);
  const double limit = table.log_pmf(x) + kTie;
  const double step = x <= table.mode() ? 1 : -1;
  // Beyond the mode on the other side: the first that is no more probable than x.
  double low = step > 0 ? std::max(x, table.mode()) : std::min(x, table.mode());
  if (low == x) low = x + step;
  double near = low;
  double far = step > 0 ? table.most() + 1 : table.least() - 1;
  while (near != far) {
    const double middle = step > 0 ? std::floor((near + far) / 2) : std::ceil((near + far) / 2);
    if (table.log_pmf(middle) <= limit) {
      far = middle;
    } else {
      near = middle + step;
    }
  }
  return std::min(1.0, table.tail(x, -step) + table.tail(far, step));
}

Result<std::vector<Difference>> compare_shares(const std::vector<Cell>& cells,
                                               const ComparisonOptions& options) {
  std::vector<Difference> rows;
  for (const Cell& cell : cells) {
    for (const Share& share : {cell.before, cell.after}) {
      if (const Status s = checked(share, cell.name); !s) return tl::unexpected(s.error());
    }
    const Result<double> p = fisher_exact(cell.after, cell.before);
    if (!p) return tl::unexpected(p.error());
    Difference row;
    row.name = cell.name;
    row.before = cell.before;
    row.after = cell.after;
    row.value = share_of(cell.after) - share_of(cell.before);
    row.limits = difference_interval(cell.after, cell.before, DifferenceMethod::newcombe,
                                     options.confidence);
    row.p_value = *p;
    rows.push_back(std::move(row));
  }
  correct(rows, options);
  return rows;
}

Result<std::vector<Difference>> compare_batches(const std::vector<std::string>& names,
                                                const std::vector<Batch>& before,
                                                const std::vector<Batch>& after,
                                                const ComparisonOptions& options) {
  if (std::min(before.size(), after.size()) < kLeastBatches) {
    return fail(Category::refused,
                fmt::format("{} batches before and {} after: expected at least {} in each period",
                            before.size(), after.size(), kLeastBatches));
  }
  std::vector<Difference> rows;
  for (std::size_t k = 0; k < names.size(); ++k) {
    Difference row;
    row.name = names[k];
    row.before = sum_of(before, k);
    row.after = sum_of(after, k);
    for (const Share& share : {row.before, row.after}) {
      if (const Status s = checked(share, row.name); !s) return tl::unexpected(s.error());
    }
    row.value = share_of(row.after) - share_of(row.before);
    rows.push_back(std::move(row));
  }
  const BatchRows data = rows_of(names.size(), before, after);
  const std::vector<double> p = exchange_p(data, rows, options.resampling.seed);
  for (std::size_t k = 0; k < rows.size(); ++k) rows[k].p_value = p[k];
  find_batch_limits(data, rows, options);
  correct(rows, options);
  return rows;
}

}  // namespace lastlook::analytics
