// SPDX-License-Identifier: Apache-2.0
#include "analytics/two_judgements.h"

#include <algorithm>
#include <map>

namespace lastlook::analytics {
namespace {

Matrix table_of(std::span<const double> cells, std::size_t categories) {
  Matrix table(categories);
  for (std::size_t i = 0; i < cells.size(); ++i) table(i / categories, i % categories) = cells[i];
  return table;
}

double share_alike(const Matrix& table) {
  double alike = 0;
  for (std::size_t i = 0; i < table.size(); ++i) alike += table(i, i);
  return alike / table.sum();
}

// One row of weighted cells a unit.
std::vector<double> rows_of(const std::vector<JudgedTwice>& judged, std::size_t categories) {
  const std::size_t width = categories * categories;
  std::vector<double> rows;
  std::map<std::string, std::size_t, std::less<>> place;
  for (const JudgedTwice& one : judged) {
    const auto [found, is_new] = place.try_emplace(one.unit, rows.size());
    if (is_new) rows.resize(rows.size() + width);
    rows[found->second + one.a * categories + one.b] += one.weight;
  }
  return rows;
}

}  // namespace

TwoJudgements judged_without_limits(const std::vector<JudgedTwice>& judged,
                                    std::size_t categories) {
  TwoJudgements out;
  out.counts = out.weighted = Matrix(categories);
  for (const JudgedTwice& one : judged) {
    out.counts(one.a, one.b) += 1;
    out.weighted(one.a, one.b) += one.weight;
  }
  out.units = out.weighted.sum();
  out.alike_limits = out.limits = fail(Category::refused, "no limits were asked for");
  if (judged.empty()) {
    out.alike = out.kappa = fail(Category::refused, "nothing was judged twice");
    return out;
  }
  out.alike = share_alike(out.weighted);
  out.kappa = kappa(out.weighted).map([](const Kappa& k) { return k.value; });
  return out;
}

TwoJudgements two_judgements(const std::vector<JudgedTwice>& judged, std::size_t categories,
                             const BootstrapOptions& options) {
  TwoJudgements out = judged_without_limits(judged, categories);
  if (!out.alike) {
    out.alike_limits = out.limits = tl::unexpected(out.alike.error());
    return out;
  }
  if (std::ranges::none_of(judged, [](const JudgedTwice& one) { return one.a != one.b; })) {
    out.alike_limits = fail(Category::refused, "all agree, which resampling takes for certain");
    out.limits = out.kappa ? out.alike_limits : tl::unexpected(out.kappa.error());
    return out;
  }
  const Resamples resamples(rows_of(judged, categories), categories * categories, options);
  out.alike_limits = resamples.bca([&](std::span<const double> cells) -> std::optional<double> {
    return share_alike(table_of(cells, categories));
  });
  if (!out.kappa) {
    out.limits = tl::unexpected(out.kappa.error());
    return out;
  }
  out.limits = resamples.bca([&](std::span<const double> cells) -> std::optional<double> {
    const Result<Kappa> k = kappa(table_of(cells, categories));
    return k ? std::optional(k->value) : std::nullopt;
  });
  return out;
}

}  // namespace lastlook::analytics
