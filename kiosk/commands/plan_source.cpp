// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/plan_source.h"

#include <fmt/format.h>

#include <algorithm>

#include "kiosk/commands/pchart_samples.h"
#include "kiosk/commands/second_looks.h"
#include "kiosk/commands/study_rows.h"

namespace lastlook::commands {
namespace {

using namespace analytics;

Result<Study> pilot_study(PlanSource& source) {
  auto studies = source.study.empty() ? read_studies(source.file, "")
                                      : recorded_study(source.records, source.study);
  if (!studies) return tl::unexpected(studies.error());
  return std::move(studies->front().study);
}

// Shares of the rows and of the columns; category `last` is moved to the end.
PilotAgreement shares_of(const Matrix& table, std::size_t last) {
  PilotAgreement out;
  const double n = table.sum();
  const auto add = [&](std::size_t k) {
    double row = 0;
    double column = 0;
    for (std::size_t j = 0; j < table.size(); ++j) {
      row += table(k, j);
      column += table(j, k);
    }
    out.shares_a.push_back(row / n);
    out.shares_b.push_back(column / n);
  };
  for (std::size_t k = 0; k < table.size(); ++k)
    if (k != last) add(k);
  add(last);
  return out;
}

Result<PilotAgreement> of_study(PlanSource& source) {
  const Result<Study> study = pilot_study(source);
  if (!study) return tl::unexpected(study.error());
  const std::size_t last = study->good.value_or(study->categories.size() - 1);
  std::optional<PilotAgreement> least;
  for (std::size_t a = 0; a < study->inspectors.size(); ++a) {
    for (std::size_t b = a + 1; b < study->inspectors.size(); ++b) {
      const Matrix table = cross_table(paired_by_trial(*study, a, b), study->categories.size());
      const Result<Kappa> k = kappa(table);
      if (!k || (least && least->kappa <= k->value)) continue;
      least = shares_of(table, last);
      least->kappa = k->value;
      least->who = study->inspectors[a] + " and " + study->inspectors[b] +
                   (study->inspectors.size() > 2 ? ", who agree least" : "");
    }
  }
  if (!least) return fail(Category::refused, "no two inspectors have a kappa in this study");
  return *least;
}

Result<PilotAgreement> of_second_looks(PlanSource& source) {
  const auto looks = done_second_looks(source.records.view(), source.station.period);
  if (!looks) return tl::unexpected(looks.error());
  const TwoJudgements judged = weighted_agreement(as_second_looks(looks->done, "day"));
  if (!judged.kappa) return tl::unexpected(judged.kappa.error());
  PilotAgreement out = shares_of(judged.weighted, 0);  // accept is the first
  out.kappa = *judged.kappa;
  out.who = "first and second looks";
  return out;
}

}  // namespace

Result<PilotAgreement> pilot_agreement(PlanSource& source) {
  return source.station.is_given() && source.study.empty() ? of_second_looks(source)
                                                           : of_study(source);
}

Result<PilotMisses> pilot_misses(PlanSource& source) {
  const Result<Study> study = pilot_study(source);
  if (!study) return tl::unexpected(study.error());
  if (!study->good) return fail(Category::refused, "it is not known which rating means conforming");
  std::optional<PilotMisses> most;
  for (std::size_t inspector = 0; inspector < study->inspectors.size(); ++inspector) {
    PilotMisses own{study->inspectors[inspector], 0, 0};
    const auto ratings = ratings_by_item(*study, inspector);
    for (std::size_t i = 0; i < ratings.size(); ++i) {
      const auto& reference = study->references[i];
      if (!reference || *reference == *study->good || ratings[i].empty()) continue;
      ++own.items;
      own.missed += std::ranges::count(ratings[i], *study->good) > 0 ? 1 : 0;
    }
    if (own.items > 0 && (!most || own.missed > most->missed)) most = own;
  }
  if (!most) return fail(Category::refused, "no bad item with a reference was rated");
  return *most;
}

Result<PilotRate> pilot_rate(PlanSource& source) {
  const auto samples = source.station.is_given()
                           ? station_samples(source.records.view(), source.station.period, false)
                           : read_samples(source.file, ChartKind::p);
  if (!samples) return tl::unexpected(samples.error());
  double units = 0;
  double found = 0;
  PilotRate out;
  for (const ChartSample& sample : *samples) {
    if (sample.inspected == 0) continue;
    units += static_cast<double>(sample.inspected);
    found += static_cast<double>(sample.nonconforming);
    ++out.samples;
  }
  if (out.samples == 0) return fail(Category::refused, "nothing was inspected");
  out.rate = found / units;
  out.units_a_sample = units / static_cast<double>(out.samples);
  return out;
}

}  // namespace lastlook::commands
