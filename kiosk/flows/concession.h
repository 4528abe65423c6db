// SPDX-License-Identifier: Apache-2.0
// Whether a concession lets a unit with these findings go.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "kiosk/domain/unit_record.h"

namespace lastlook::flows {

// Why it does not cover every finding, of concession_reasons in notices.h; nullopt: it does. One
// number may have been granted for several findings: each of them must be covered.
std::optional<std::string_view> lacks(const std::vector<domain::Concession>& granted,
                                      const std::string& number, const std::string& variant,
                                      const std::vector<domain::FindingAdded>& findings,
                                      std::int64_t now_us);

}  // namespace lastlook::flows
