// SPDX-License-Identifier: Apache-2.0
// What comes down from a plant's store to a station: results for its folder `incoming`, where a
// file is taken in as any other is, and the plant's newest master data. Results are on a server
// only; beside a store in a file or a folder, testers put files into each station's `incoming`
// themselves.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>

#include "analytics/result.h"
#include "kiosk/domain/happening.h"
#include "kiosk/sync/plant_store.h"

namespace lastlook::sync {

// Writes the results that came since the last time as FOLDER/incoming/plant-….csv, each file on
// disk before the place behind it is noted in FOLDER/received.json: what was cut comes again, and a
// result that a station knows is kept once. Returns how many rows came.
Result<std::int64_t> receive_results(const std::filesystem::path& folder, PlantStore& plant);

// The plant's master data, where its revision is newer than the one given. damaged: the entry is
// not as the office wrote it, or none of master data, or its document is of another revision.
Result<std::optional<domain::MasterAdopted>> newer_master(PlantStore& plant, std::int64_t revision);

}  // namespace lastlook::sync
