// SPDX-License-Identifier: Apache-2.0
#include "analytics/two_judgements.h"

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

// One row of weighted cells a unit; of two samples those first whose first judgement is 0.
struct UnitRows {
  std::vector<double> cells;
  std::size_t first_group = 0;
};

UnitRows rows_of(const std::vector<JudgedTwice>& judged, std::size_t categories, Drawn drawn) {
  const std::size_t width = categories * categories;
  UnitRows rows;
  for (const bool others : {false, true}) {
    std::map<std::string, std::size_t, std::less<>> place;
    for (const JudgedTwice& one : judged) {
      if (others != (drawn == Drawn::by_first && one.a != 0)) continue;
      const auto [found, is_new] = place.try_emplace(one.unit, rows.cells.size());
      if (is_new) rows.cells.resize(rows.cells.size() + width);
      rows.cells[found->second + one.a * categories + one.b] += one.weight;
    }
    if (drawn == Drawn::by_first && !others) rows.first_group = place.size();
  }
  return rows;
}

}  // namespace

TwoJudgements two_judgements(const std::vector<JudgedTwice>& judged, std::size_t categories,
                             Drawn drawn, const BootstrapOptions& options) {
  TwoJudgements out;
  out.counts = out.weighted = Matrix(categories);
  for (const JudgedTwice& one : judged) {
    out.counts(one.a, one.b) += 1;
    out.weighted(one.a, one.b) += one.weight;
  }
  out.units = out.weighted.sum();
  if (judged.empty()) {
    const auto reason = fail(Category::refused, "nothing was judged twice");
    out.alike = out.kappa = reason;
    out.alike_limits = out.limits = reason;
    return out;
  }
  UnitRows rows = rows_of(judged, categories, drawn);
  BootstrapOptions in_groups = options;
  in_groups.first_group = rows.first_group;
  const Resamples resamples(std::move(rows.cells), categories * categories, in_groups);
  out.alike = share_alike(out.weighted);
  out.alike_limits = resamples.bca([&](std::span<const double> cells) -> std::optional<double> {
    return share_alike(table_of(cells, categories));
  });
  out.kappa = kappa(out.weighted).map([](const Kappa& k) { return k.value; });
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
