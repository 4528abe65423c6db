// SPDX-License-Identifier: Apache-2.0
// A station's records as the source of a command: read only, a period and filters.
#pragma once

#include <CLI/CLI.hpp>
#include <memory>
#include <string>

#include "analytics/control_chart.h"
#include "kiosk/commands/findings.h"
#include "kiosk/records/shift_queries.h"

namespace lastlook::commands {

struct StationSource {
  std::string dir;  // empty: a file is the source
  records::Period period;
};

// FILE or --dir, --from, --to, --shift, --variant. FILE and --dir exclude each other.
void add_source(CLI::App* app, std::string& file, StationSource& station, const std::string& help);

// bad_input where neither or a wrong date was given.
Status check_source(const std::string& file, const StationSource& station);

Result<std::unique_ptr<records::Records>> open_station(const StationSource& station);

// Findings of a period, in the words of the catalogue. Kinds, batch and filters are of component,
// defect, severity, shift ("2026-11-02 early"), hour ("06:00"), station and variant; `units`:
// counts are first looks with the finding, else findings.
Status station_findings(records::Records& records, const records::Period& period,
                        const FindingQuery& query, bool units, const OnFinding& each);

// A sample a shift: first looks that were not right at once; or, of `findings`, all that were found
// there.
Result<std::vector<analytics::ChartSample>> station_samples(records::Records& records,
                                                            const records::Period& period,
                                                            bool findings);

// Starts a phase where a new revision of the master data, checklists included, came in, or where
// the camera's opinions were taken into use or out of it (on record for half of the first looks and
// more); the phase is named after the reason.
Status add_phases(records::Records& records, const records::Period& period,
                  std::vector<analytics::ChartSample>& samples);

}  // namespace lastlook::commands
