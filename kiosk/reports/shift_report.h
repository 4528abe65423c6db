// SPDX-License-Identifier: Apache-2.0
// One shift as a page: the five questions of its review, answered first in a sentence, then by a
// chart or a table. It needs nothing from elsewhere and prints on A4.
#pragma once

#include <string>

#include "kiosk/domain/master.h"
#include "kiosk/reports/shift_facts.h"
#include "kiosk/text/strings.h"

namespace lastlook::reports {

std::string shift_report_html(const ShiftFacts& facts, const domain::Master& master,
                              const text::Strings& say);

// The same in short, for a terminal: lines of a label, a number and what belongs to it.
std::string shift_report_text(const ShiftFacts& facts, const text::Strings& say);

}  // namespace lastlook::reports
