// SPDX-License-Identifier: Apache-2.0
#include "kiosk/reports/shift_facts.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>

#include "kiosk/domain/master.h"

namespace lastlook::reports {
namespace {

using records::Period;

// Four weeks before a date, as text; the date itself where it does not read.
std::string four_weeks_before(const std::string& date) {
  int year = 0;
  unsigned month = 0;
  unsigned day = 0;
  if (std::sscanf(date.c_str(), "%d-%u-%u", &year, &month, &day) != 3) return date;
  const std::chrono::sys_days then =
      std::chrono::sys_days{std::chrono::year{year} / static_cast<int>(month) /
                            static_cast<int>(day)} -
      std::chrono::days{28};
  const std::chrono::year_month_day from{then};
  return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(from.year()),
                     static_cast<unsigned>(from.month()), static_cast<unsigned>(from.day()));
}

std::string name_of(const domain::Master& master, const records::DefectCount& count) {
  const domain::Component* component = master.component(count.component);
  const domain::Defect* defect = master.defect(count.defect);
  return fmt::format("{}: {}", component ? component->name : count.component,
                     defect ? defect->name : count.defect);
}

Result<analytics::ParetoTable> findings(records::Records& records, const Period& period) {
  const auto counts = records::defect_counts(records, period);
  if (!counts) return tl::unexpected(counts.error());
  analytics::ParetoCounter counter;
  for (const records::DefectCount& count : *counts)
    if (count.findings > 0) counter.add(name_of(records.master(), count), count.findings);
  return counter.table();
}

// The shifts of the four weeks up to this one, this one last; empty when it has no first looks.
Result<std::vector<records::ShiftRow>> shifts_up_to(records::Records& records,
                                                    const WhichShift& which) {
  Period period;
  period.from = four_weeks_before(which.production_date);
  period.to = which.production_date;
  auto rows = records::by_shift(records, period);
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

Status compare(ShiftFacts& facts, const std::vector<records::ShiftRow>& shifts) {
  if (shifts.empty()) return {};
  std::vector<analytics::ChartSample> samples;
  for (const records::ShiftRow& row : shifts)
    samples.push_back({fmt::format("{} {}", row.production_date.substr(5), row.shift),
                       row.counts.first_looks,
                       row.counts.first_looks - row.counts.first_pass,
                       {},
                       {}});
  facts.usual_shifts = std::ssize(shifts) - 1;
  // With one shift alone there is nothing else to make limits of.
  analytics::ChartOptions options;
  options.limits = analytics::LimitKind::exact;
  if (facts.usual_shifts > 0) {
    std::int64_t units = 0;
    std::int64_t not_right = 0;
    for (std::size_t i = 0; i + 1 < samples.size(); ++i) {
      units += samples[i].inspected;
      not_right += samples[i].nonconforming;
    }
    if (units > 0)
      options.frozen_centre = static_cast<double>(not_right) / static_cast<double>(units);
  }
  auto chart = analytics::attribute_chart(samples, options);
  if (!chart) return tl::unexpected(chart.error());
  facts.by_shift = std::move(*chart);
  facts.usual_wanders = wander_before_last(facts.by_shift->points);
  return {};
}

CameraSums sum(const std::vector<records::OpinionCount>& counts) {
  CameraSums sums;
  for (const records::OpinionCount& one : counts) {
    sums.good += one.good_yes + one.good_no + one.good_unsure;
    sums.bad += one.bad_yes + one.bad_no + one.bad_unsure;
    sums.missed += one.bad_yes;
    sums.false_alarms += one.good_no;
    sums.good_unsure += one.good_unsure;
    sums.bad_unsure += one.bad_unsure;
  }
  return sums;
}

std::string shift_name(const domain::Master& master, const std::string& id) {
  for (const domain::Shift& shift : master.shifts)
    if (shift.id == id) return shift.name;
  return id;
}

template <class T>
Status take(T& into, Result<T> from) {
  if (!from) return tl::unexpected(from.error());
  into = std::move(*from);
  return {};
}

}  // namespace

Standing standing_of(const ShiftFacts& facts) {
  if (!facts.by_shift || facts.by_shift->points.empty()) return Standing::no_units;
  if (facts.usual_shifts < least_usual_shifts) return Standing::too_few_shifts;
  const analytics::ChartPoint& now = facts.by_shift->points.back();
  if (!now.value) return Standing::no_units;
  if (now.upper && *now.value > *now.upper) return Standing::worse;
  if (now.lower && *now.value < *now.lower) return Standing::better;
  return Standing::as_usual;
}

Result<ShiftFacts> shift_facts(records::Records& records, const WhichShift& which,
                               const std::vector<std::string>& notes, const domain::Reading& now) {
  Period period;
  period.from = period.to = which.production_date;
  period.shift = which.shift;
  ShiftFacts facts;
  facts.station = records.station();
  facts.product = records.master().product;
  facts.shift_name = shift_name(records.master(), which.shift);
  facts.which = which;
  facts.notes = notes;
  facts.written_us = now.wall_us;
  facts.offset_min = now.offset_min;
  std::vector<records::ShiftRow> shifts;
  const Status read =
      take(facts.counts, records::look_counts(records, period))
          .and_then([&] { return take(facts.findings, findings(records, period)); })
          .and_then([&] { return take(shifts, shifts_up_to(records, which)); })
          .and_then([&] { return compare(facts, shifts); })
          .and_then([&] { return take(facts.waiting, records::waiting_units(records)); })
          .and_then([&] { return take(facts.camera, records::opinion_counts(records, period)); })
          .and_then([&] {
            return take(facts.looks_with_opinion, records::looks_with_opinion(records, period));
          })
          .and_then([&] { return take(facts.proofs, records::proofs(records, period)); })
          .and_then([&] { return take(facts.contained, records::contained(records, period)); })
          .and_then([&] { return take(facts.journal, records::verify(records.folder())); });
  if (!read) return tl::unexpected(read.error());
  facts.camera_sums = sum(facts.camera);
  if (facts.counts.first_looks > 0) {
    auto rate = analytics::first_pass_yield(facts.counts.first_pass, facts.counts.first_looks);
    if (!rate) return tl::unexpected(rate.error());
    facts.first_pass = *rate;
  }
  return facts;
}

}  // namespace lastlook::reports
