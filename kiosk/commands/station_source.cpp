// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/station_source.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace lastlook::commands {
namespace {

using Words = std::map<std::string, std::string, std::less<>>;

bool is_date(const std::string& text) {
  constexpr std::string_view form = "dddd-dd-dd";
  return text.size() == form.size() &&
         std::equal(text.begin(), text.end(), form.begin(),
                    [](char c, char f) { return f == 'd' ? c >= '0' && c <= '9' : c == f; });
}

std::string component_name(const domain::Master& master, const std::string& id) {
  const domain::Component* component = master.component(id);
  return component ? component->name : id;
}

std::string defect_name(const domain::Master& master, const std::string& id) {
  const domain::Defect* defect = master.defect(id);
  return defect ? defect->name : id;
}

// "06:00" of a quarter-hour of the day.
std::string hour_of(std::int64_t quarter) {
  return fmt::format("{:02}:00", quarter / 4);
}

// What a query may name, each with its value in this row.
Words words_of(const domain::Master& master, const records::DefectCell& cell) {
  return {{"component", component_name(master, cell.count.component)},
          {"defect", defect_name(master, cell.count.defect)},
          {"severity", cell.count.severity},
          {"shift", cell.production_date + " " + cell.shift},
          {"hour", hour_of(cell.quarter)},
          {"station", cell.station},
          {"variant", cell.variant}};
}

Status check_columns(const FindingQuery& query) {
  const Words known = words_of({}, {});
  std::vector<std::string> asked = query.kinds;
  for (const auto& [name, value] : query.where) asked.push_back(name);
  if (!query.batch.empty()) asked.push_back(query.batch);
  for (const std::string& name : asked) {
    if (known.contains(name)) continue;
    return fail(Category::bad_input,
                fmt::format("'{}': the records know component, defect, severity, shift, hour, "
                            "station and variant",
                            name));
  }
  if (query.by == "cost")
    return fail(Category::bad_input, "--by cost: the records hold no cost, expected a file");
  return {};
}

// Added up over the period, unless the query tells shifts, hours, stations or variants apart.
Result<std::vector<records::DefectCell>> cells_for(records::Records& records,
                                                   const records::Period& period,
                                                   const FindingQuery& query) {
  const auto asks = [&](const char* name) {
    return query.batch == name || query.where.contains(name) ||
           std::ranges::count(query.kinds, name) > 0;
  };
  if (asks("shift") || asks("hour") || asks("station") || asks("variant"))
    return records::defect_cells(records, period);
  return records::defect_counts(records, period).map([](const auto& counts) {
    std::vector<records::DefectCell> cells;
    for (const records::DefectCount& count : counts) cells.push_back({"", "", 0, "", "", count});
    return cells;
  });
}

Status give(const Words& words, std::int64_t count, const FindingQuery& query,
            const OnFinding& each) {
  for (const auto& [name, value] : query.where) {
    if (words.find(name)->second != value) return {};
  }
  Finding finding;
  for (const std::string& kind : query.kinds) finding.kinds.emplace_back(words.find(kind)->second);
  if (!query.batch.empty()) finding.batch = words.find(query.batch)->second;
  finding.count = count;
  if (query.by == "severity") {
    const auto weight = query.weights.find(words.find("severity")->second);
    if (weight == query.weights.end()) {
      return fail(Category::bad_input, fmt::format("--weights: no weight for severity '{}'",
                                                   words.find("severity")->second));
    }
    finding.weight = weight->second;
  }
  each(finding);
  return {};
}

}  // namespace

void add_source(CLI::App* app, std::string& file, StationSource& station, const std::string& help) {
  auto* from_file = app->add_option("FILE", file, help);
  auto* dir = app->add_option("--dir", station.dir,
                              "Reads this station's records instead of a file; nothing is written")
                  ->excludes(from_file);
  app->add_option("--from", station.period.from, "First production date, 2026-11-02")->needs(dir);
  app->add_option("--to", station.period.to, "Last production date")->needs(dir);
  app->add_option("--shift", station.period.shift, "This shift of the calendar only")->needs(dir);
  app->add_option("--variant", station.period.variant, "This variant only")->needs(dir);
}

Status check_source(const std::string& file, const StationSource& station) {
  if (file.empty() && station.dir.empty())
    return fail(Category::bad_input, "expected FILE or --dir (see --help)");
  for (const std::string& date : {station.period.from, station.period.to}) {
    if (!date.empty() && !is_date(date))
      return fail(Category::bad_input,
                  fmt::format("'{}' is not a date, expected one as 2026-11-02", date));
  }
  return {};
}

Result<std::unique_ptr<records::Records>> open_station(const StationSource& station) {
  return records::Records::open_to_read(station.dir);
}

Status station_findings(records::Records& records, const records::Period& period,
                        const FindingQuery& query, bool units, const OnFinding& each) {
  if (const Status s = check_columns(query); !s) return s;
  const auto cells = cells_for(records, period, query);
  if (!cells) return tl::unexpected(cells.error());
  for (const records::DefectCell& cell : *cells) {
    const Words words = words_of(records.master(), cell);
    const Status s = give(words, units ? cell.count.units : cell.count.findings, query, each);
    if (!s) return s;
  }
  return {};
}

Result<std::vector<analytics::ChartSample>> station_samples(records::Records& records,
                                                            const records::Period& period,
                                                            bool findings) {
  const auto shifts = records::by_shift(records, period);
  if (!shifts) return tl::unexpected(shifts.error());
  std::vector<analytics::ChartSample> samples;
  for (const records::ShiftRow& row : *shifts) {
    analytics::ChartSample sample;
    sample.name = row.production_date + " " + row.shift;
    sample.inspected = row.counts.first_looks;
    sample.nonconforming = row.counts.first_looks - row.counts.first_pass;
    if (findings) {
      records::Period one = period;
      one.from = one.to = row.production_date;
      one.shift = row.shift;
      const auto counts = records::defect_counts(records, one);
      if (!counts) return tl::unexpected(counts.error());
      sample.nonconforming = 0;
      for (const records::DefectCount& count : *counts) sample.nonconforming += count.findings;
    }
    samples.push_back(std::move(sample));
  }
  if (samples.empty())
    return fail(Category::refused, "no shift with a finished look in this period");
  return samples;
}

Status add_phases(records::Records& records, const records::Period& period,
                  std::vector<analytics::ChartSample>& samples) {
  const auto shifts = records::shift_conditions(records, period);
  if (!shifts) return tl::unexpected(shifts.error());
  const auto opinions = [](const records::ShiftConditions& shift) {
    return 2 * shift.with_opinion >= shift.first_looks;
  };
  const records::ShiftConditions* before = nullptr;
  std::string phase;
  for (analytics::ChartSample& sample : samples) {
    const auto found = std::ranges::find_if(*shifts, [&](const records::ShiftConditions& shift) {
      return shift.production_date + " " + shift.shift == sample.name;
    });
    if (found != shifts->end()) {
      const bool other_revision = !before || found->revision != before->revision;
      const bool switched = !before || opinions(*found) != opinions(*before);
      std::string reason;
      if (other_revision) reason = fmt::format("checklist revision {}", found->revision);
      if (switched)
        reason += fmt::format("{}camera's opinions {}", reason.empty() ? "" : ", ",
                              opinions(*found) ? "on" : "off");
      if (!reason.empty()) phase = reason;
      before = &*found;
    }
    sample.phase = phase;
  }
  return {};
}

}  // namespace lastlook::commands
