// SPDX-License-Identifier: Apache-2.0
// Who does something at the command line: somebody of the station who has the right to, with the
// own PIN.
#pragma once

#include <map>
#include <string>

#include "analytics/result.h"
#include "kiosk/domain/rights.h"
#include "kiosk/flows/inspection.h"
#include "kiosk/records/people.h"
#include "kiosk/records/records.h"

namespace lastlook::commands {

// refused: `id`, given by `option`, has not this right at the station or is locked out, or the PIN,
// read from standard input, is wrong.
Status check_right(records::People& people, const std::string& option, const std::string& id,
                   domain::Right right);
// The same of who approves, by --approved-by.
Status check_approver(const std::string& dir, const std::string& id);

// Has the station decide about an event of theirs and keep what happened. refused, with `reasons`
// of the notice's code or `else_reason`, where the flow says no.
Status handle_approved(records::Records& records, const flows::Event& event,
                       const std::string& else_reason,
                       const std::map<std::string, std::string>& reasons = {});

}  // namespace lastlook::commands
