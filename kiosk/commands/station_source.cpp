// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/station_source.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <map>

#include "kiosk/domain/calendar.h"
#include "kiosk/domain/clock.h"
#include "kiosk/records/durable.h"
#include "kiosk/records/entry.h"
#include "kiosk/records/tables.h"
#include "kiosk/sync/project_plant.h"

namespace lastlook::commands {
namespace {

using Words = std::map<std::string, std::string, std::less<>>;

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
Result<std::vector<records::DefectCell>> cells_for(records::View view,
                                                   const records::Period& period,
                                                   const FindingQuery& query) {
  const auto asks = [&](const char* name) {
    return query.batch == name || query.where.contains(name) ||
           std::ranges::count(query.kinds, name) > 0;
  };
  if (asks("shift") || asks("hour") || asks("station") || asks("variant"))
    return records::defect_cells(view, period);
  return records::defect_counts(view, period).map([](const auto& counts) {
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
  add_records_source(app, station);
  for (const char* option : {"--dir", "--plant"}) app->get_option(option)->excludes(from_file);
  for (const char* option : {"--from", "--to", "--shift", "--station", "--variant"})
    app->get_option(option)->excludes(from_file);
}

void add_records_source(CLI::App* app, StationSource& station) {
  auto* dir =
      app->add_option("--dir", station.dir, "Reads this station's records; nothing is written");
  app->add_option("--plant", station.plant,
                  "Reads what 'lastlook plant run' projected of all stations: sqlite:FILE or "
                  "postgresql://…; nothing is written")
      ->excludes(dir);
  app->add_option("--from", station.period.from, "First production date, 2026-11-02");
  app->add_option("--to", station.period.to, "Last production date");
  app->add_option("--shift", station.period.shift, "This shift of the calendar only");
  app->add_option("--station", station.period.station, "This station only");
  app->add_option("--variant", station.period.variant, "This variant only");
}

Status check_source(const std::string& file, const StationSource& station) {
  if (file.empty() && !station.is_given())
    return fail(Category::bad_input, "expected FILE, --dir or --plant (see --help)");
  return file.empty() ? check_source(station) : Status();
}

Status check_source(const StationSource& station) {
  if (!station.is_given())
    return fail(Category::bad_input, "expected --dir or --plant (see --help)");
  return check_dates(station.period, "--from", "--to");
}

Status check_dates(const records::Period& period, const char* from, const char* to) {
  for (const auto& [name, date] : {std::pair{from, period.from}, {to, period.to}}) {
    if (!date.empty() && !domain::is_date(date))
      return fail(Category::bad_input,
                  fmt::format("{}: '{}' is not a date, expected one as 2026-11-02", name, date));
  }
  if (period.from.empty() || period.to.empty() || period.from <= period.to) return {};
  return fail(Category::bad_input, fmt::format("{} {}: expected a date not before {} {}", to,
                                               period.to, from, period.from));
}

Status check_options(const CLI::App& app, const StationSource& station,
                     std::initializer_list<const char*> of_records,
                     std::initializer_list<const char*> of_file) {
  const bool records = station.is_given();
  for (const char* option : records ? of_file : of_records) {
    if (app.count(option) == 0) continue;
    return fail(Category::bad_input, fmt::format("{}: expected with {}, not with {}", option,
                                                 records ? "FILE" : "--dir or --plant",
                                                 records ? "--dir or --plant" : "FILE"));
  }
  return {};
}

Status check_options(const CLI::App& app, bool applies, std::string_view with,
                     std::initializer_list<const char*> options) {
  for (const char* option : options) {
    if (applies || app.count(option) == 0) continue;
    return fail(Category::bad_input, fmt::format("{}: expected {}", option, with));
  }
  return {};
}

namespace {

// The plant's own words where no station was asked for that is not there.
Status take_as_of(OpenSource& source, const std::string& asked, const std::string& where) {
  auto all = records::as_of(source.view().store, "");
  if (!all) return tl::unexpected(all.error());
  source.as_of = *all;
  if (asked.empty()) return {};
  std::erase_if(source.as_of, [&](const records::AsOf& one) { return one.station != asked; });
  if (!source.as_of.empty()) return {};
  std::vector<std::string> known;
  for (const records::AsOf& one : *all) known.push_back(one.station);
  return fail(Category::not_found, fmt::format("{}: there is no station '{}', expected one of {}",
                                               where, asked, fmt::join(known, ", ")));
}

std::string minute_of(const records::AsOf& one) {
  std::string time = domain::iso_time(one.wall_us, one.offset_min).substr(0, 16);
  time[10] = ' ';
  return time;
}

// A journal's hash at an entry stands for all entries up to it.
Status take_origin(OpenSource& source) {
  std::vector<std::string> hashes;
  for (const records::AsOf& one : source.as_of) {
    const auto state = records::rows<records::StationStateRow>(source.view().store, {one.journal});
    if (!state) return tl::unexpected(state.error());
    for (const records::StationStateRow& row : *state) hashes.push_back(row.hash);
  }
  const std::string revision =
      fmt::format("master data revision {}", source.view().master.revision);
  if (source.as_of.size() == 1) {
    const records::AsOf& one = source.as_of.front();
    source.origin = fmt::format("{}, {}, journal {} up to entry {}, hash {}", one.station, revision,
                                one.journal, one.seq, fmt::join(hashes, ""));
    return {};
  }
  const auto all = records::hash_of_bytes(fmt::format("{}", fmt::join(hashes, "\n")));
  source.origin = fmt::format("{} stations, {}, hash of the heads of their journals {}",
                              source.as_of.size(), revision, records::to_hex(all));
  return {};
}

}  // namespace

Result<OpenSource> open_source(const StationSource& station) {
  OpenSource source;
  if (!station.dir.empty()) {
    auto opened = records::Records::open_to_read(station.dir);
    if (!opened) return tl::unexpected(opened.error());
    source.station = *std::move(opened);
  } else {
    auto opened = sync::open_rows(station.plant, records::Access::read);
    if (!opened) return tl::unexpected(opened.error());
    source.plant = *std::move(opened);
    auto words = records::newest_master(*source.plant);
    if (!words) return tl::unexpected(words.error());
    source.words = *std::move(words);
  }
  const Status known = take_as_of(source, station.period.station, station.name()).and_then([&] {
    return take_origin(source);
  });
  if (!known) return tl::unexpected(known.error());
  return source;
}

Status open_where_given(const StationSource& station, OpenSource& into) {
  if (!station.is_given()) return {};
  auto opened = open_source(station);
  if (!opened) return tl::unexpected(opened.error());
  into = *std::move(opened);
  return {};
}

void add_as_of(Json& json, const OpenSource& source) {
  if (source.station || source.plant) add_as_of(json, source.as_of);
}

void add_as_of(Json& json, const std::vector<records::AsOf>& as_of) {
  Json all = Json::array();
  for (const records::AsOf& one : as_of)
    all.push_back({{"station", one.station},
                   {"journal", one.journal},
                   {"entries", one.seq},
                   {"time", domain::iso_time(one.wall_us, one.offset_min)}});
  json["as_of"] = std::move(all);
}

void add_as_of(Reply& reply, const OpenSource& source) {
  if (!source.station && !source.plant) return;
  reply.add(as_of_in_words(source.as_of));
  const auto oldest = std::ranges::min_element(source.as_of, {}, &records::AsOf::wall_us);
  reply.made_from_records(
      source.origin,
      oldest == source.as_of.end() ? "" : domain::iso_time(oldest->wall_us, oldest->offset_min));
}

std::string as_of_in_words(const std::vector<records::AsOf>& as_of) {
  if (as_of.empty()) return "no station has sent anything yet";
  const auto oldest = std::ranges::min_element(as_of, {}, &records::AsOf::wall_us);
  if (as_of.size() == 1) return fmt::format("as of {}", minute_of(*oldest));
  return fmt::format("as of {} ({}, the furthest behind of {} stations)", minute_of(*oldest),
                     oldest->station, as_of.size());
}

Status station_findings(records::View view, const records::Period& period,
                        const FindingQuery& query, bool units, const OnFinding& each) {
  if (const Status s = check_columns(query); !s) return s;
  const auto cells = cells_for(view, period, query);
  if (!cells) return tl::unexpected(cells.error());
  for (const records::DefectCell& cell : *cells) {
    const Words words = words_of(view.master, cell);
    const Status s = give(words, units ? cell.count.units : cell.count.findings, query, each);
    if (!s) return s;
  }
  return {};
}

Result<std::vector<analytics::ChartSample>> station_samples(records::View view,
                                                            const records::Period& period,
                                                            bool findings) {
  const auto shifts = records::by_shift(view, period);
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
      const auto counts = records::defect_counts(view, one);
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

}  // namespace lastlook::commands
