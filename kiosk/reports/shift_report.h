// SPDX-License-Identifier: Apache-2.0
// One shift as a document: the five questions of its review, answered first in a sentence, then by
// a chart or a table.
#pragma once

#include <string>

#include "kiosk/domain/master.h"
#include "kiosk/reports/document.h"
#include "kiosk/reports/shift_facts.h"
#include "kiosk/text/strings.h"

namespace lastlook::reports {

Document shift_report(const ShiftFacts& facts, const domain::Master& master,
                      const text::Strings& say);

// The same in short, for a terminal: lines of a label, a number and what belongs to it.
std::string shift_report_text(const ShiftFacts& facts, const text::Strings& say);

}  // namespace lastlook::reports
