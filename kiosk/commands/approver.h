// SPDX-License-Identifier: Apache-2.0
// Who approves something at the command line: a quality engineer of the station, with the own PIN.
#pragma once

#include <map>
#include <string>

#include "analytics/result.h"
#include "kiosk/flows/inspection.h"
#include "kiosk/records/records.h"

namespace lastlook::commands {

// refused: `id` is no quality engineer there, or the PIN, read from standard input, is wrong.
Status check_approver(const std::string& dir, const std::string& id);

// Has the station decide about an event of theirs and keep what happened. refused, with `reasons`
// of the notice's code or `else_reason`, where the flow says no.
Status handle_approved(records::Records& records, const flows::Event& event,
                       const std::string& else_reason,
                       const std::map<std::string, std::string>& reasons = {});

}  // namespace lastlook::commands
