// SPDX-License-Identifier: Apache-2.0
// The report of a shift as a file of the station's folder.
#pragma once

#include <filesystem>

#include "analytics/result.h"
#include "kiosk/domain/clock.h"
#include "kiosk/reports/usual.h"
#include "kiosk/text/strings.h"

namespace lastlook::reports {

// Reads a station's folder, verifies its journal and writes
// FOLDER/reports/shift-2026-11-25-early.html, whole or not at all; one written before is replaced.
// Takes a while. Returns the file.
Result<std::filesystem::path> write_shift_report(const std::filesystem::path& folder,
                                                 const WhichShift& which, const text::Strings& say,
                                                 const domain::Reading& now);

}  // namespace lastlook::reports
