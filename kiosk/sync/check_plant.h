// SPDX-License-Identifier: Apache-2.0
// Whether a plant's store still has what stations gave it.
#pragma once

#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "kiosk/sync/plant_store.h"

namespace lastlook::sync {

struct PlantFault {
  std::string journal;
  std::int64_t seq = 0;  // 0: a picture, which `what` names
  std::string what;
};

struct PlantVerdict {
  std::int64_t journals = 0, entries = 0, pictures = 0;
  std::vector<PlantFault> faults;  // the first of each journal, and all of pictures
  bool whole() const { return faults.empty(); }
};

// Reads every entry: its hash is that of its bytes, it follows the one before, and the last one is
// the journal's head; and every picture: its bytes have its hash. An error only where the store
// cannot be read.
Result<PlantVerdict> check(
    PlantStore& plant, const std::function<void(std::int64_t done, std::int64_t all)>& progress);

}  // namespace lastlook::sync
