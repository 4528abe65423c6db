// SPDX-License-Identifier: Apache-2.0
// Which model judges at this station, and which did before.
#pragma once

#include <vector>

#include "analytics/result.h"
#include "kiosk/domain/approved_model.h"
#include "kiosk/records/records.h"

namespace lastlook::records {

// Every approval, the newest first: that one judges. Empty: none was approved here yet.
Result<std::vector<domain::ApprovedModel>> approved_models(Records& records);

}  // namespace lastlook::records
