// SPDX-License-Identifier: Apache-2.0
// A station of a trial: it looks at units and sends, until it is killed.
#pragma once

#include <sys/types.h>

#include <filesystem>
#include <string>

#include "kiosk/trial/tally.h"

namespace lastlook::trial {

struct StationTask {
  std::filesystem::path folder;  // a station's
  std::string store;             // the address that it sends to
  double rate = 1;               // how many times as fast as on a line
  bool network_is_cut = false;   // now and then
  unsigned seed = 1;             // of its chance, and of the names of its looks
};

// What it does on a line, at the rate of one: a unit every 40 s on average, one in twenty of them
// with a finding; the courier that the kiosk has, with its pause and its back-off; a network that
// works for five minutes and is cut for one, on average.
//
// In a process of its own, which dies with its parent; only from a process without other threads.
// It never ends by itself but for an error, which it says on stderr. -1: no process (errno).
pid_t start_station(const StationTask& task, Tally& tally);

// The file, beside a station's folder, with a line for each try to send that failed.
std::filesystem::path troubles_of(const std::filesystem::path& folder);

}  // namespace lastlook::trial
