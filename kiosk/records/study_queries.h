// SPDX-License-Identifier: Apache-2.0
// Agreement studies, planned and rated at a station.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "analytics/result.h"
#include "kiosk/domain/study.h"
#include "kiosk/records/view.h"

namespace lastlook::records {

// nullopt: there is none of this id.
Result<std::optional<domain::StudyRecord>> study(View view, const std::string& study);

// The newest first.
Result<std::vector<domain::StudyRecord>> studies(View view);
// Those in which there is something left to rate, the newest first.
Result<std::vector<domain::StudyRecord>> studies_going_on(View view);

std::string new_study_id();

}  // namespace lastlook::records
