// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/pareto_compare.h"

#include <fmt/format.h>

#include <set>

#include "analytics/comparison_chart.h"
#include "analytics/multiplicity.h"

namespace lastlook::commands {
namespace {

using analytics::Batch;
using analytics::Difference;

std::vector<std::string> all_cells(const PeriodCounter& now, const PeriodCounter& before) {
  std::set<std::string> names;
  for (const auto* period : {&now, &before}) {
    for (const auto& [name, count] : period->cells()) names.insert(name);
  }
  return {names.begin(), names.end()};
}

std::int64_t count_in(const PeriodCounter::Counts& counts, const std::string& name) {
  const auto found = counts.find(name);
  return found == counts.end() ? 0 : found->second;
}

std::vector<Batch> batches_of(const PeriodCounter& period, const std::vector<std::string>& names) {
  std::vector<Batch> out;
  for (const auto& [batch, counts] : period.batches()) {
    Batch& row = out.emplace_back();
    row.units = period.findings(batch);
    for (const std::string& name : names) row.hits.push_back(count_in(counts, name));
  }
  return out;
}

std::vector<analytics::Cell> cells_of(const PeriodCounter& now, const PeriodCounter& before,
                                      const std::vector<std::string>& names,
                                      const CompareAsk& ask) {
  std::vector<analytics::Cell> cells;
  for (const std::string& name : names) {
    cells.push_back(
        {name,
         {count_in(before.cells(), name), ask.units ? ask.inspected_before : before.findings()},
         {count_in(now.cells(), name), ask.units ? ask.inspected : now.findings()}});
  }
  return cells;
}

double percent(const analytics::Share& share) {
  return 100 * static_cast<double>(share.hits) / static_cast<double>(share.units);
}

std::string points(double share) {
  return fmt::format("{:+.1f}", 100 * share);
}

}  // namespace

void PeriodCounter::add(const Finding& finding) {
  total_ += finding.count;
  batch_totals_[std::string(finding.batch)] += finding.count;
  Counts& batch = batches_[std::string(finding.batch)];
  const std::size_t innermost = finding.kinds.size();
  for (std::size_t levels = units_ ? innermost : 1; levels <= innermost; ++levels) {
    const std::string name = nested_name(finding, levels);
    cells_[name] += finding.count;
    batch[name] += finding.count;
  }
}

Result<Compared> compare(const PeriodCounter& now, const PeriodCounter& before,
                         const CompareAsk& ask) {
  if (now.findings() == 0 && before.findings() == 0) return Compared{{}, "nothing was found"};
  analytics::ComparisonOptions options;
  options.resampling.seed = ask.seed;
  const bool holm = ask.correction == "holm";
  options.correction =
      holm ? analytics::Correction::holm : analytics::Correction::benjamini_hochberg;
  const std::vector<std::string> names = all_cells(now, before);
  Result<std::vector<Difference>> rows =
      ask.batches ? analytics::compare_batches(names, batches_of(before, names),
                                               batches_of(now, names), options)
                  : analytics::compare_shares(cells_of(now, before, names, ask), options);
  if (!rows) return tl::unexpected(rows.error());
  return Compared{analytics::by_weight(std::move(*rows)),
                  fmt::format("{}; {} over {} cells, 5 %",
                              ask.batches ? "batches resampled"
                              : ask.units ? "each unit taken alone"
                                          : "each finding taken alone",
                              holm ? "Holm" : "Benjamini-Hochberg", names.size())};
}

Json comparison_json(const Compared& compared, const CompareAsk& ask) {
  Notes notes;
  Json rows = Json::array();
  for (const Difference& row : compared.rows) {
    Json out = {{"defect", row.name},
                {"count", row.after.hits},
                {"of", row.after.units},
                {"count_before", row.before.hits},
                {"of_before", row.before.units},
                {"percent", percent(row.after)},
                {"percent_before", percent(row.before)},
                {"difference", 100 * row.value}};
    notes.limits(out, "", row.limits, row.name, 100);
    out["p"] = row.p_value;
    out["p_adjusted"] = row.adjusted_p;
    out["changed"] = row.changed;
    rows.push_back(std::move(out));
  }
  return {{"counted", ask.units ? "units" : "findings"},
          {"correction", ask.correction},
          {"rule", compared.rule},
          {"rows", std::move(rows)},
          {"notes", notes.list()}};
}

Reply comparison_reply(const Compared& compared, const CompareAsk& ask) {
  Reply reply("What really changed");
  if (compared.rows.empty()) {
    reply.add("nothing was found in either period");
    return reply;
  }
  TextTable table("lrrrlrl");
  table.row({"", "before", "now", "points", "95 % limits", "corrected", ""});
  std::size_t changed = 0;
  for (const Difference& row : compared.rows) {
    changed += row.changed ? 1 : 0;
    table.row({row.name, fmt::format("{:.1f} %", percent(row.before)),
               fmt::format("{:.1f} %", percent(row.after)), points(row.value),
               row.limits ? points(row.limits->low) + " to " + points(row.limits->high) : "-",
               analytics::p_in_words(row.adjusted_p), row.changed ? "changed" : ""});
  }
  reply.add(std::move(table));
  reply.add(
      fmt::format("{} of {} cells changed ({})", changed, compared.rows.size(), compared.rule));
  reply.add(ask.units ? "Shares are of the units inspected."
                      : "Shares are of all findings: where one goes up another goes down.");
  return reply;
}

analytics::Chart comparison_drawing(const Compared& compared) {
  analytics::ComparisonChartOptions options;
  options.rule = compared.rule;
  options.frame.title = "What really changed";
  options.frame.height =
      std::clamp(140.0 + 25.2 * static_cast<double>(compared.rows.size()), 230.0, 900.0);
  const analytics::WideSansMeasure measure;
  return comparison_chart(compared.rows, options, measure);
}

}  // namespace lastlook::commands
