// SPDX-License-Identifier: Apache-2.0
#include "analytics/agreement_limits.h"

#include <numeric>

#include "analytics/group_agreement.h"
#include "analytics/kappa.h"

namespace lastlook::analytics {
namespace {

// Unweighted kappa of the cells of a square table.
std::optional<double> kappa_of(std::span<const double> cells, std::size_t categories) {
  double n = 0;
  double observed = 0;
  double expected = 0;
  for (std::size_t i = 0; i < categories; ++i) {
    double row = 0;
    double column = 0;
    for (std::size_t j = 0; j < categories; ++j) {
      row += cells[i * categories + j];
      column += cells[j * categories + i];
    }
    n += row;
    observed += cells[i * categories + i];
    expected += row * column;
  }
  if (!(n * n > expected)) return std::nullopt;
  return (n * observed - expected) / (n * n - expected);
}

// What the group measures are made of, as sums over items: how many items, how many rated twice,
// their agreement, each category's share; for alpha the pairable values and their disagreement.
struct GroupSums {
  std::size_t categories;
  static constexpr std::size_t kItems = 0;
  static constexpr std::size_t kPaired = 1;
  static constexpr std::size_t kAgreement = 2;
  static constexpr std::size_t kDisagreement = 3;
  std::size_t shares() const { return 4; }
  std::size_t pairable() const { return 4 + categories; }
  std::size_t width() const { return 4 + 2 * categories; }

  std::vector<double> of_item(const std::vector<double>& counts) const {
    std::vector<double> row(width());
    const double r = std::accumulate(counts.begin(), counts.end(), 0.0);
    if (r == 0) return row;
    double squares = 0;
    for (std::size_t k = 0; k < categories; ++k) {
      row[shares() + k] = counts[k] / r;
      squares += counts[k] * counts[k];
    }
    row[kItems] = 1;
    if (r < 2) return row;
    row[kPaired] = 1;
    row[kAgreement] = (squares - r) / (r * (r - 1));
    row[kDisagreement] = (r * r - squares) / (r - 1);
    for (std::size_t k = 0; k < categories; ++k) row[pairable() + k] = counts[k];
    return row;
  }

  // With the agreement that chance gives, `scale` times the sum of term(share).
  template <class Term>
  std::optional<double> beyond_chance(std::span<const double> sums, double scale, Term term) const {
    if (sums[kPaired] == 0) return std::nullopt;
    double expected = 0;
    for (std::size_t k = 0; k < categories; ++k)
      expected += scale * term(sums[shares() + k] / sums[kItems]);
    if (!(expected < 1 - 1e-12)) return std::nullopt;
    return (sums[kAgreement] / sums[kPaired] - expected) / (1 - expected);
  }

  std::optional<double> fleiss(std::span<const double> sums) const {
    return beyond_chance(sums, 1, [](double share) { return share * share; });
  }

  std::optional<double> ac1(std::span<const double> sums) const {
    if (categories < 2) return std::nullopt;
    return beyond_chance(sums, 1 / static_cast<double>(categories - 1),
                         [](double share) { return share * (1 - share); });
  }

  std::optional<double> alpha(std::span<const double> sums) const {
    double n = 0;
    double squares = 0;
    for (std::size_t k = 0; k < categories; ++k) {
      n += sums[pairable() + k];
      squares += sums[pairable() + k] * sums[pairable() + k];
    }
    if (!(n * n > squares)) return std::nullopt;
    return 1 - (n - 1) * sums[kDisagreement] / (n * n - squares);
  }
};

// Every item as one row: the tables of all pairs, then those against the reference, then the
// group's sums.
class ItemRows {
 public:
  explicit ItemRows(const Study& study) : study_(study), group_{study.categories.size()} {
    for (std::size_t a = 0; a < study.inspectors.size(); ++a) {
      for (std::size_t b = a + 1; b < study.inspectors.size(); ++b)
        pairs_.push_back(paired_by_trial(study, a, b));
    }
    if (!study.has_reference()) return;
    for (std::size_t a = 0; a < study.inspectors.size(); ++a) {
      references_.push_back(paired_with_reference(study, a));
    }
  }

  std::size_t cells() const { return study_.categories.size() * study_.categories.size(); }
  std::size_t pair_at(std::size_t index) const { return index * cells(); }
  std::size_t reference_at(std::size_t index) const {
    return pair_at(pairs_.size()) + index * cells();
  }
  std::size_t group_at() const { return reference_at(references_.size()); }
  std::size_t width() const { return group_at() + group_.width(); }
  std::size_t pairs() const { return pairs_.size(); }
  std::size_t references() const { return references_.size(); }
  const GroupSums& group() const { return group_; }

  std::vector<double> rows() const {
    std::vector<double> out(study_.items.size() * width());
    const auto add = [&](const std::vector<RatedPair>& pairs, std::size_t at) {
      for (const RatedPair& pair : pairs) {
        out[pair.item * width() + at + pair.a * study_.categories.size() + pair.b] += 1;
      }
    };
    for (std::size_t i = 0; i < pairs_.size(); ++i) add(pairs_[i], pair_at(i));
    for (std::size_t i = 0; i < references_.size(); ++i) add(references_[i], reference_at(i));
    const CategoryCounts counts = counts_by_item(study_);
    for (std::size_t item = 0; item < counts.size(); ++item) {
      const std::vector<double> sums = group_.of_item(counts[item]);
      std::copy(sums.begin(), sums.end(),
                out.begin() + static_cast<std::ptrdiff_t>(item * width() + group_at()));
    }
    return out;
  }

 private:
  const Study& study_;
  GroupSums group_;
  std::vector<std::vector<RatedPair>> pairs_;
  std::vector<std::vector<RatedPair>> references_;
};

}  // namespace

AgreementLimits resampled_limits(const Study& study, const BootstrapOptions& options) {
  const ItemRows items(study);
  const Resamples resamples(items.rows(), items.width(), options);
  const auto kappa_limits = [&](std::size_t at) {
    return resamples.bca([&, at](std::span<const double> sums) {
      return kappa_of(sums.subspan(at, items.cells()), study.categories.size());
    });
  };
  AgreementLimits out;
  for (std::size_t i = 0; i < items.pairs(); ++i)
    out.pairs.push_back(kappa_limits(items.pair_at(i)));
  for (std::size_t i = 0; i < items.references(); ++i) {
    out.with_reference.push_back(kappa_limits(items.reference_at(i)));
  }
  if (study.inspectors.size() < 2) {
    out.fleiss = out.alpha = out.ac1 = fail(Category::refused, "one inspector only");
    return out;
  }
  const auto group = [&](auto measure) {
    return resamples.bca([&](std::span<const double> sums) {
      return (items.group().*measure)(sums.subspan(items.group_at()));
    });
  };
  out.fleiss = group(&GroupSums::fleiss);
  out.alpha = group(&GroupSums::alpha);
  out.ac1 = group(&GroupSums::ac1);
  return out;
}

}  // namespace lastlook::analytics
