// SPDX-License-Identifier: Apache-2.0
// Where on the product findings lie.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "analytics/result.h"
#include "kiosk/domain/master.h"
#include "kiosk/records/shift_queries.h"

namespace lastlook::records {

struct PlaceCount {
  std::string component, defect, severity;
  std::optional<domain::Place> place;  // none where nobody touched the picture
  std::int64_t findings = 0;
};
// Of closed looks, each finding once, where it was first seen. Reads the findings of the period
// themselves, so it is meant for weeks, not for years.
Result<std::vector<PlaceCount>> finding_places(View view, const Period& period);

}  // namespace lastlook::records
