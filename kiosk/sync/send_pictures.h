// SPDX-License-Identifier: Apache-2.0
// Pictures of a station, brought to a plant's store after the entries that name them, and back.
#pragma once

#include <cstdint>
#include <functional>
#include <limits>
#include <vector>

#include "analytics/result.h"
#include "kiosk/records/audit.h"
#include "kiosk/records/records.h"
#include "kiosk/sync/plant_store.h"

namespace lastlook::sync {

struct SentPictures {
  std::int64_t pictures = 0, bytes = 0;  // that went now; pictures: those that are whole there now
  std::int64_t waiting = 0;              // called for, and not there yet
  std::int64_t not_here = 0;  // called for, and missing at the station or altered: 'records verify'
                              // names them
};

inline constexpr std::int64_t all_bytes = std::numeric_limits<std::int64_t>::max();

// Sends what pictures_called_for() names and the store has not, one part after another, and stops
// once `at_most` bytes went (one part goes in any case); the next call goes on behind the last
// part. Only pictures that entries name which the store has. A store that takes none: nothing.
Result<SentPictures> send_pictures(
    records::Records& station, PlantStore& plant, std::int64_t at_most,
    const std::function<void(std::int64_t done, std::int64_t all)>& progress = {});

// The same from one store to another, of all journals: whatever is whole there.
Result<SentPictures> send_pictures(PlantStore& from, PlantStore& to);

// Puts what a station misses and the store has into the station's folder; says what is missing
// still.
Result<std::vector<records::MissingPicture>> fetch_pictures(
    const std::filesystem::path& folder, std::vector<records::MissingPicture> missing,
    PlantStore& plant);

}  // namespace lastlook::sync
