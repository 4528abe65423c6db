// SPDX-License-Identifier: Apache-2.0
// What the data of a pilot says that a plan would else have to guess.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "analytics/result.h"
#include "kiosk/commands/station_source.h"

namespace lastlook::commands {

// Neither a file nor records: the numbers come by options alone.
struct PlanSource {
  std::string file;
  StationSource station;
  std::string study;  // of the records, by its id
  OpenSource records;
  bool is_given() const { return !file.empty() || station.is_given(); }
};

// Two inspectors: of a study the two who agree least, of second looks the first and the second.
struct PilotAgreement {
  std::string who;  // "A and B, who agree least"
  double kappa = 0;
  std::vector<double> shares_a, shares_b;  // of each category, the conforming one last if known
  bool two_categories() const { return shares_a.size() == 2; }
};
// refused where no two inspectors have a kappa.
Result<PilotAgreement> pilot_agreement(PlanSource& source);

// One inspector's bad items so far: the inspector who misses most.
struct PilotMisses {
  std::string who;
  std::int64_t items = 0;   // bad ones by the reference
  std::int64_t missed = 0;  // of these, missed in any trial
};
// refused where no bad item was rated or it is not known which rating means conforming.
Result<PilotMisses> pilot_misses(PlanSource& source);

// Share of nonconforming units and units of a sample, on average.
struct PilotRate {
  double rate = 0;
  double units_a_sample = 0;
  std::size_t samples = 0;
};
// refused where nothing was inspected.
Result<PilotRate> pilot_rate(PlanSource& source);

}  // namespace lastlook::commands
