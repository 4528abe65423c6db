// SPDX-License-Identifier: Apache-2.0
// The report of a shift as files of the station's folder.
#pragma once

#include <filesystem>

#include "analytics/result.h"
#include "kiosk/domain/clock.h"
#include "kiosk/reports/usual.h"
#include "kiosk/text/strings.h"

namespace lastlook::reports {

// Reads a station's folder, verifies its journal and writes
// FOLDER/reports/shift-2026-11-25-early.html and, beside it, the same as .pdf, A4: each whole or
// not at all; those written before are replaced. Takes a while. Returns the page.
Result<std::filesystem::path> write_shift_report(const std::filesystem::path& folder,
                                                 const WhichShift& which, const text::Strings& say,
                                                 const domain::Reading& now);

}  // namespace lastlook::reports
