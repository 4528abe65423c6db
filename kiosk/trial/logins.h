// SPDX-License-Identifier: Apache-2.0
// A login of the server for each station of a trial, which sends by its own right as stations do.
#pragma once

#include <string>
#include <vector>

#include "analytics/result.h"

namespace lastlook::trial {

// By which address each of the stations named sends. A server gets a login for each,
// lastlook_trial_1 and so on, with a password that nobody knows; for that the owner of the store
// needs the right to make logins. Any other store is sent to as it is. All or none. refused:
// another trial runs on this server (one that was cut is cleared away); io: the server's words.
Result<std::vector<std::string>> make_logins(const std::string& store,
                                             const std::vector<std::string>& stations);

Status drop_logins(const std::string& store);

}  // namespace lastlook::trial
