// SPDX-License-Identifier: Apache-2.0
#include "kiosk/flows/upstream.h"

namespace lastlook::flows {

using namespace domain;

Standing standing_of(const UnitRecord& unit, UpstreamTest test) {
  const UpstreamResult* newest = nullptr;
  for (const auto& [result, voided] : unit.results) {
    if (result.test != test || voided) continue;
    if (!newest || result.measured_us > newest->measured_us ||
        (result.measured_us == newest->measured_us && !result.passed))
      newest = &result;
  }
  if (!newest) return Standing::missing;
  return newest->passed ? Standing::passed : Standing::failed;
}

}  // namespace lastlook::flows
