// SPDX-License-Identifier: Apache-2.0
#include "kiosk/reports/usual.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <map>
#include <utility>

namespace lastlook::reports {
namespace {

using records::Period;

// The shifts of the four weeks up to this one, this one last; empty when it has no first looks.
Result<std::vector<records::ShiftRow>> shifts_up_to(records::View view, const WhichShift& which) {
  auto rows = records::by_shift(view, four_weeks_to(which.production_date));
  if (!rows) return rows;
  const auto is_it = [&](const records::ShiftRow& row) {
    return row.production_date == which.production_date && row.shift == which.shift;
  };
  const auto it = std::ranges::find_if(*rows, is_it);
  const bool there = it != rows->end() && it->counts.first_looks > 0;
  rows->erase(there ? it + 1 : rows->begin(), rows->end());
  return rows;
}

// The ratio of overdispersion where chance would seldom give as much.
std::optional<double> wander_before_last(const std::vector<analytics::ChartPoint>& points) {
  constexpr double seldom = 0.01;
  std::vector<double> z;
  for (std::size_t i = 0; i + 1 < points.size(); ++i)
    if (points[i].z) z.push_back(*points[i].z);
  const auto found = analytics::overdispersion(z);
  if (!found || found->p_value > seldom) return std::nullopt;
  return found->ratio;
}

std::int64_t not_right(const records::LookCounts& counts) {
  return counts.first_looks - counts.first_pass;
}

analytics::Share share_of(const records::LookCounts& counts) {
  return {not_right(counts), counts.first_looks};
}

using Kind = std::pair<std::string, std::string>;  // component, defect
using Units = std::map<Kind, std::int64_t>;

Status add_units(records::View view, const Period& period, Units& into) {
  const auto counts = records::defect_counts(view, period);
  if (!counts) return tl::unexpected(counts.error());
  for (const records::DefectCount& count : *counts)
    into[{count.component, count.defect}] += count.units;
  return {};
}

// The days before this one, and the earlier shifts of this one.
Status add_units_before(records::View view, const WhichShift& which, Units& into) {
  Period days = four_weeks_to(which.production_date);
  days.to = days_before(which.production_date, 1);
  if (const Status added = add_units(view, days, into); !added) return added;
  const auto rows = shifts_up_to(view, which);
  if (!rows) return tl::unexpected(rows.error());
  for (std::size_t i = 0; i + 1 < rows->size(); ++i) {
    const records::ShiftRow& row = (*rows)[i];
    if (row.production_date != which.production_date) continue;
    const Period earlier{row.production_date, row.production_date, row.shift, "", ""};
    if (const Status added = add_units(view, earlier, into); !added) return added;
  }
  return {};
}

}  // namespace

Period period_of(const WhichShift& which) {
  return {which.production_date, which.production_date, which.shift, "", ""};
}

Period four_weeks_to(const std::string& date) {
  return {days_before(date, 28), date, "", "", ""};
}

std::string days_before(const std::string& date, int days) {
  int year = 0;
  unsigned month = 0;
  unsigned day = 0;
  if (std::sscanf(date.c_str(), "%d-%u-%u", &year, &month, &day) != 3) return date;
  const std::chrono::sys_days then =
      std::chrono::sys_days{std::chrono::year{year} / static_cast<int>(month) /
                            static_cast<int>(day)} -
      std::chrono::days{days};
  const std::chrono::year_month_day from{then};
  return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(from.year()),
                     static_cast<unsigned>(from.month()), static_cast<unsigned>(from.day()));
}

std::string_view to_word(Standing standing) {
  switch (standing) {
    case Standing::no_units:
      return "no_units";
    case Standing::too_few_shifts:
      return "too_few_shifts";
    case Standing::as_usual:
      return "as_usual";
    case Standing::better:
      return "better";
    case Standing::worse:
      return "worse";
  }
  return "no_units";
}

Standing standing_of(const Usual& usual) {
  if (!usual.by_shift || usual.by_shift->points.empty()) return Standing::no_units;
  if (usual.shifts < least_usual_shifts) return Standing::too_few_shifts;
  const analytics::ChartPoint& now = usual.by_shift->points.back();
  if (!now.value) return Standing::no_units;
  if (now.upper && *now.value > *now.upper) return Standing::worse;
  if (now.lower && *now.value < *now.lower) return Standing::better;
  return Standing::as_usual;
}

Result<Usual> usual_before(records::View view, const WhichShift& which) {
  const auto shifts = shifts_up_to(view, which);
  if (!shifts) return tl::unexpected(shifts.error());
  Usual usual;
  if (shifts->empty()) return usual;
  std::vector<analytics::ChartSample> samples;
  for (const records::ShiftRow& row : *shifts)
    samples.push_back({fmt::format("{} {}", row.production_date.substr(5), row.shift),
                       row.counts.first_looks,
                       not_right(row.counts),
                       {},
                       {}});
  usual.shifts = std::ssize(*shifts) - 1;
  if (usual.shifts > 0) usual.last = (*shifts)[shifts->size() - 2];
  for (std::size_t i = 0; i + 1 < shifts->size(); ++i) {
    usual.weeks.first_looks += (*shifts)[i].counts.first_looks;
    usual.weeks.first_pass += (*shifts)[i].counts.first_pass;
  }
  // With one shift alone there is nothing else to make limits of.
  analytics::ChartOptions options;
  options.limits = analytics::LimitKind::exact;
  if (usual.weeks.first_looks > 0)
    options.frozen_centre =
        static_cast<double>(not_right(usual.weeks)) / static_cast<double>(usual.weeks.first_looks);
  auto chart = analytics::attribute_chart(samples, options);
  if (!chart) return tl::unexpected(chart.error());
  usual.by_shift = std::move(*chart);
  usual.wanders = wander_before_last(usual.by_shift->points);
  return usual;
}

Result<std::vector<Change>> changes_since(records::View view, const WhichShift& which,
                                          const Usual& usual) {
  const Period shift = period_of(which);
  const auto now = records::look_counts(view, shift);
  if (!now) return tl::unexpected(now.error());
  if (now->first_looks == 0 || usual.weeks.first_looks == 0) return std::vector<Change>{};
  Units units_now, units_before;
  const Status read = add_units(view, shift, units_now).and_then([&] {
    return add_units_before(view, which, units_before);
  });
  if (!read) return tl::unexpected(read.error());
  std::vector<Change> changes{{Change::Since::weeks, "", "", {}}};
  std::vector<analytics::Cell> cells{{"", share_of(usual.weeks), share_of(*now)}};
  if (usual.last && usual.last->counts.first_looks > 0) {
    changes.push_back({Change::Since::last_shift, "", "", {}});
    cells.push_back({"", share_of(usual.last->counts), share_of(*now)});
  }
  Units kinds = units_before;
  kinds.insert(units_now.begin(), units_now.end());
  for (const auto& [kind, count] : kinds) {
    // One unit may have a kind in two severities.
    const analytics::Share before{std::min(units_before[kind], usual.weeks.first_looks),
                                  usual.weeks.first_looks};
    const analytics::Share after{std::min(units_now[kind], now->first_looks), now->first_looks};
    changes.push_back({Change::Since::weeks, kind.first, kind.second, {}});
    cells.push_back({"", before, after});
  }
  const auto differences = analytics::compare_shares(cells);
  if (!differences) return tl::unexpected(differences.error());
  for (std::size_t i = 0; i < changes.size(); ++i) changes[i].difference = (*differences)[i];
  std::ranges::stable_sort(changes, [](const Change& a, const Change& b) {
    if (a.difference.changed != b.difference.changed) return a.difference.changed;
    return std::abs(a.difference.value) > std::abs(b.difference.value);
  });
  return changes;
}

}  // namespace lastlook::reports
