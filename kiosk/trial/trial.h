// SPDX-License-Identifier: Apache-2.0
// A trial of a plant's store: many stations send to it while their network is cut and they are
// killed; what it has in the end is counted against what they wrote.
#pragma once

#include <chrono>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <map>
#include <string>
#include <vector>

#include "analytics/result.h"

namespace lastlook::trial {

struct Trial {
  std::filesystem::path folder;  // where the stations are made; missing or empty
  std::string store;             // the address of an empty one; by its owner
  int stations = 100;
  std::chrono::seconds lasts{600};
  double rate = 20;    // how many times as fast as on a line
  bool faults = true;  // networks are cut, stations are killed (each every half hour of the line)
};

struct Outcome {
  std::int64_t looks = 0, entries = 0, bytes = 0;  // that the stations wrote; bytes: their lines
  std::int64_t cuts = 0, kills = 0;
  std::int64_t at_the_end = 0;  // entries that the store had not when the stations stopped
  // From the touch that closes a look until the store has it, milliseconds; by looks that went
  // while the stations worked.
  std::int64_t lag_half_ms = 0, lag_19_of_20_ms = 0, lag_99_of_100_ms = 0, lag_longest_ms = 0;
  std::map<std::string, std::int64_t> troubles;  // why tries failed, and how often
  std::vector<std::string> faults;               // what should never be; empty: the store is whole
};

// Refuses a store that knows a journal: a trial never mixes with a plant. A server that goes away
// is waited for at the end, a minute. Errors are those of making; what goes wrong later is an
// outcome. Only from a process without other threads.
Result<Outcome> run(const Trial& trial,
                    const std::function<void(std::chrono::seconds passed)>& progress = {});

}  // namespace lastlook::trial
