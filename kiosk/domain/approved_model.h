// SPDX-License-Identifier: Apache-2.0
// What the records know of a model that judges at a station, or did.
#pragma once

#include <cstdint>
#include <string>

#include "kiosk/domain/happening.h"

namespace lastlook::domain {

struct ApprovedModel : ModelApproved {
  std::string approved_by;
  std::int64_t approved_us = 0;
  bool operator==(const ApprovedModel&) const = default;
};

}  // namespace lastlook::domain
