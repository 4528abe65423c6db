// SPDX-License-Identifier: Apache-2.0
// The SQL of kiosk/sync/sql, compiled in. Private to sync.
#pragma once

#include <span>
#include <string_view>

#include "kiosk/records/sql.h"

namespace lastlook::sync {

std::span<const records::SqlText> plant_sql();

// The text of one file, by its name without suffix.
std::string_view sql(std::string_view name);

}  // namespace lastlook::sync
