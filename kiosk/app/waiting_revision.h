// SPDX-License-Identifier: Apache-2.0
// A revision of the plant's master data that has come down and waits for the end of a unit.
#pragma once

#include <cstdint>
#include <optional>

#include "kiosk/domain/happening.h"
#include "kiosk/flows/station.h"

namespace lastlook::app {

class WaitingRevision {
 public:
  // Offered again and again until the station works under it; one that this program cannot use is
  // tried once.
  void offer(const domain::MasterAdopted& newer);

  // Adopts it if it may be now. The revision adopted; 0: none waits, or a unit is open. An error:
  // it cannot be used here, and why.
  Result<std::int64_t> adopt(flows::Station& station);

 private:
  std::optional<domain::MasterAdopted> waits_;
  std::optional<domain::MasterAdopted> useless_;
};

}  // namespace lastlook::app
