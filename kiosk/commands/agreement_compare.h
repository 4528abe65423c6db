// SPDX-License-Identifier: Apache-2.0
// Agreement from a station's records, where no study was made: first against second looks, and what
// people answered before they saw the camera's opinion against that opinion.
#pragma once

#include <string>

#include "analytics/bootstrap.h"
#include "kiosk/commands/reply.h"
#include "kiosk/commands/station_source.h"

namespace lastlook::commands {

struct CompareRequest {
  std::string what;       // "second-looks" or "camera"
  std::string inspector;  // id whose first looks, "all" for each; empty: without persons
  analytics::BootstrapOptions resamples;
};

// refused: the records of the period hold nothing to compare.
Status compare_from_records(const StationSource& source, const CompareRequest& request,
                            const Delivery& delivery);

}  // namespace lastlook::commands
