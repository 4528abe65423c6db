// SPDX-License-Identifier: Apache-2.0
// Four weeks of the invented plant: both stations, both shifts, every working day before today,
// event by event through the real flow into the journal, with a clock moved by the script.
//
// Seeded: the same seed and the same day give the same units, findings and times.
#pragma once

#include <atomic>
#include <cstdint>
#include <filesystem>
#include <vector>

#include "kiosk/commands/demo_plant.h"

namespace lastlook::commands {

struct Weeks {
  std::int64_t first_midnight_us = 0;      // of 1970-01-01 in local time, as UTC wall time
  int offset_min = 0;                      // local time minus UTC
  std::vector<std::int64_t> working_days;  // days since 1970-01-01, Monday to Friday, oldest first

  std::int64_t end_us() const;  // an hour after the last late shift
};

// The twenty working days before the production day of `now`.
Weeks weeks_before(const domain::Master& master, const domain::Reading& now);

// About how many looks write_history() will make.
int expected_looks(const Weeks& weeks);

// Both stations, side by side; looks counts up while it works.
Status write_history(const std::filesystem::path& plant_folder, const PlantDocument& plant,
                     const Weeks& weeks, std::uint64_t seed, std::atomic<int>& looks);

}  // namespace lastlook::commands
