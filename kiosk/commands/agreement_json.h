// SPDX-License-Identifier: Apache-2.0
// A study's results as the contract of `lastlook agreement --json` wants them.
#pragma once

#include "analytics/agreement.h"
#include "analytics/agreement_limits.h"
#include "kiosk/commands/output.h"

namespace lastlook::commands {

// Rates are fractions; what is not defined is null with its reason under "notes".
Json agreement_json(const analytics::Study& study, const analytics::Agreement& agreement,
                    const analytics::AgreementLimits& resampled);

}  // namespace lastlook::commands
