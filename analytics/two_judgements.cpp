// SPDX-License-Identifier: Apache-2.0
#include "analytics/two_judgements.h"

#include <fmt/format.h>

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

// One row of weighted cells a unit, sample by sample.
struct UnitRows {
  std::vector<double> cells;
  std::vector<std::size_t> samples;
  std::string alike;  // a sample, one of several, in which nothing differs; empty: none
};

using Samples = std::map<std::string, std::vector<const JudgedTwice*>, std::less<>>;

// A unit that is a sample alone would be drawn each time, as if it were beyond doubt.
void join_lone_units(Samples& samples) {
  if (samples.size() < 2) return;
  const auto largest = std::ranges::max_element(
      samples, {}, [](const auto& sample) { return sample.second.size(); });
  std::erase_if(samples, [&](auto& sample) {
    auto& [name, all] = sample;
    const auto other = [&](const JudgedTwice* one) { return one->unit != all.front()->unit; };
    if (name == largest->first || std::ranges::any_of(all, other)) return false;
    largest->second.insert(largest->second.end(), all.begin(), all.end());
    return true;
  });
}

UnitRows rows_of(const std::vector<JudgedTwice>& judged, std::size_t categories) {
  const std::size_t width = categories * categories;
  Samples samples;
  for (const JudgedTwice& one : judged) samples[one.sample].push_back(&one);
  join_lone_units(samples);
  UnitRows rows;
  for (const auto& [name, sample] : samples) {
    std::map<std::string, std::size_t, std::less<>> place;
    for (const JudgedTwice* one : sample) {
      const auto [found, is_new] = place.try_emplace(one->unit, rows.cells.size());
      if (is_new) rows.cells.resize(rows.cells.size() + width);
      rows.cells[found->second + one->a * categories + one->b] += one->weight;
    }
    rows.samples.push_back(place.size());
    const auto differs = [](const JudgedTwice* one) { return one->a != one->b; };
    if (samples.size() > 1 && std::ranges::none_of(sample, differs)) rows.alike = name;
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
  UnitRows rows = rows_of(judged, categories);
  if (!rows.alike.empty()) {
    out.alike_limits = out.limits =
        fail(Category::refused, fmt::format("nothing differs in the sample '{}', which resampling "
                                            "would take for certain",
                                            rows.alike));
    return out;
  }
  BootstrapOptions in_samples = options;
  in_samples.samples = std::move(rows.samples);
  const Resamples resamples(std::move(rows.cells), categories * categories, in_samples);
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
