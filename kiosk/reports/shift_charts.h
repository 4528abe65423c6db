// SPDX-License-Identifier: Apache-2.0
// The charts of a shift's page.
#pragma once

#include "analytics/marks.h"
#include "kiosk/reports/shift_facts.h"
#include "kiosk/text/strings.h"

namespace lastlook::reports {

analytics::Chart findings_chart(const ShiftFacts& facts, const text::Strings& say);

// usual.by_shift has a value.
analytics::Chart usual_chart(const ShiftFacts& facts, const text::Strings& say);

}  // namespace lastlook::reports
