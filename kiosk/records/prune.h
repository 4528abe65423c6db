// SPDX-License-Identifier: Apache-2.0
// Which pictures a station may take away to make room.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "analytics/result.h"
#include "kiosk/records/records.h"

namespace lastlook::records {

struct Prunable {
  std::vector<std::string> pictures;  // hashes, each once, whose bytes are there
  std::vector<std::string> left;      // of an earlier pruning that did not come to its end
  std::int64_t bytes = 0;             // of both
  std::int64_t looks = 0;             // that the pictures are of
};

// Pictures and overlays of ordinary looks before a production date in which nothing was in doubt:
// accepted without a concession, no finding (not even one taken back), every answer conforming and
// never corrected, every opinion of the camera too, the disposition never corrected, not drawn for
// a second look; and of a unit that nobody disputes or claims for. What anything else names (a
// finding, a study, a challenge part, a model) stays whatever its look. Reads the whole journal.
Result<Prunable> prunable(Records& records, const std::string& before);

}  // namespace lastlook::records
