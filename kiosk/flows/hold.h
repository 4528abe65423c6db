// SPDX-License-Identifier: Apache-2.0
// Why a unit may be held.
#pragma once

#include <optional>
#include <string_view>

#include "kiosk/flows/inspection.h"

namespace lastlook::flows {

// The gravest reason to hold the open look, of hold_reasons in notices.h; nullopt: none, and then a
// hold is no disposition for it. Steps that are not answered yet are a reason to park, not to hold.
std::optional<std::string_view> hold_reason(const Inspection& state,
                                            const domain::UnitRecord& unit);

}  // namespace lastlook::flows
