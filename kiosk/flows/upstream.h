// SPDX-License-Identifier: Apache-2.0
// What counts of the results that a unit comes with.
#pragma once

#include "kiosk/domain/unit_record.h"

namespace lastlook::flows {

enum class Standing { passed, failed, missing };

// Of the results that no rework voided, the one measured last decides: one that arrives late does
// not outvote it. Where two were measured at the same moment and contradict each other, the failed
// one does.
Standing standing_of(const domain::UnitRecord& unit, domain::UpstreamTest test);

}  // namespace lastlook::flows
