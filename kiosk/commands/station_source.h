// SPDX-License-Identifier: Apache-2.0
// A station's records, or those of all stations in a plant's store, as the source of a command:
// read only, a period and filters.
#pragma once

#include <CLI/CLI.hpp>
#include <initializer_list>
#include <memory>
#include <string>
#include <string_view>

#include "analytics/control_chart.h"
#include "kiosk/commands/findings.h"
#include "kiosk/commands/reply.h"
#include "kiosk/records/records.h"
#include "kiosk/records/shift_queries.h"

namespace lastlook::commands {

struct StationSource {
  std::string dir, plant;  // one of them, or neither: a file is the source
  records::Period period;
  bool is_given() const { return !dir.empty() || !plant.empty(); }
  const std::string& name() const { return dir.empty() ? plant : dir; }
};

// Records that are open to be asked; all answers are of one instant of a plant's store.
struct OpenSource {
  std::unique_ptr<records::Records> station;
  std::unique_ptr<records::Store> plant;
  domain::Master words;  // the plant's
  std::vector<records::AsOf> as_of;
  std::string origin;  // revision, journal, entry and hash, as a sheet of paper says it
  records::View view() const {
    return station ? records::View(*station) : records::View(*plant, words);
  }
  // Of the one station that is asked about, else "all stations".
  std::string name() const { return as_of.size() == 1 ? as_of.front().station : "all stations"; }
};

// FILE, --dir or --plant, --from, --to, --shift, --station, --variant. The three exclude each
// other.
void add_source(CLI::App* app, std::string& file, StationSource& station, const std::string& help);
// The same without FILE.
void add_records_source(CLI::App* app, StationSource& station);

// bad_input where none, a wrong date or a last date before the first was given.
Status check_source(const std::string& file, const StationSource& station);
Status check_source(const StationSource& station);
// The same of a period whose dates came by options of these names.
Status check_dates(const records::Period& period, const char* from, const char* to);

// bad_input where an option was given that only the other kind of source can take, rather than take
// no notice of it: `of_records` with FILE, `of_file` with --dir or --plant.
Status check_options(const CLI::App& app, const StationSource& station,
                     std::initializer_list<const char*> of_records,
                     std::initializer_list<const char*> of_file);

// The same of options that mean something only `with` others, where `applies` says that these were
// given.
Status check_options(const CLI::App& app, bool applies, std::string_view with,
                     std::initializer_list<const char*> options);

// not_found: no such station there.
Result<OpenSource> open_source(const StationSource& station);
// Leaves it closed where a file is the source.
Status open_where_given(const StationSource& station, OpenSource& into);

// How far the stations' journals are in what was asked, and what the reply was made from; nothing
// where a file was asked.
void add_as_of(Json& json, const OpenSource& source);
void add_as_of(Reply& reply, const OpenSource& source);
void add_as_of(Json& json, const std::vector<records::AsOf>& as_of);
std::string as_of_in_words(const std::vector<records::AsOf>& as_of);

// Findings of a period, in the words of the catalogue. Kinds, batch and filters are of component,
// defect, severity, shift ("2026-11-02 early"), hour ("06:00"), station and variant; `units`:
// counts are first looks with the finding, else findings.
Status station_findings(records::View view, const records::Period& period,
                        const FindingQuery& query, bool units, const OnFinding& each);

// A sample a shift: first looks that were not right at once; or, of `findings`, all that were found
// there.
Result<std::vector<analytics::ChartSample>> station_samples(records::View view,
                                                            const records::Period& period,
                                                            bool findings);

}  // namespace lastlook::commands
