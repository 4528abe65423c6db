// SPDX-License-Identifier: Apache-2.0
// What the stations of a trial count, in memory that all their processes share: a station that is
// killed takes nothing of it along.
#pragma once

#include <array>
#include <atomic>
#include <cstdint>
#include <memory>

#include "analytics/result.h"

namespace lastlook::trial {

struct Tally {
  std::atomic<std::int64_t> cuts;  // of a station's network
  // Looks by how long they took from the inspector's touch into the store, a place a millisecond;
  // in the last place those that took longer.
  std::array<std::atomic<std::uint32_t>, 1'000'000> lag_ms;

  void note_lag(std::int64_t microseconds);
  // The lag that `share` (0 to 1) of the looks did not exceed, milliseconds; 0 where none arrived.
  std::int64_t lag_of_share(double share) const;
};

struct Unmap {
  void operator()(Tally* tally) const;
};
using SharedTally = std::unique_ptr<Tally, Unmap>;
Result<SharedTally> share_tally();  // io: no memory

}  // namespace lastlook::trial
