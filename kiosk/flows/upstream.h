// SPDX-License-Identifier: Apache-2.0
// What counts of the results that a unit comes with.
#pragma once

#include <cstdint>
#include <optional>

#include "kiosk/domain/master.h"
#include "kiosk/domain/unit_record.h"

namespace lastlook::flows {

enum class Standing { passed, failed, missing };

// The result measured last decides, of those that count: not voided, and measured after the last
// rework of a defect that voids this test. So an older one that arrives late changes nothing.
Standing standing_of(const domain::Master& master, const domain::UnitRecord& unit,
                     domain::UpstreamTest test);

// When the last rework that voids this test was decided, wall time; nullopt: there was none.
std::optional<std::int64_t> voided_until(const domain::Master& master,
                                         const domain::UnitRecord& unit, domain::UpstreamTest test);

}  // namespace lastlook::flows
