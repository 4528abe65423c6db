// SPDX-License-Identifier: Apache-2.0
#include "kiosk/sync/sql.h"

#include <algorithm>

namespace lastlook::sync {

std::string_view sql(std::string_view name) {
  const auto all = plant_sql();
  const auto found = std::ranges::find(all, name, &records::SqlText::name);
  return found == all.end() ? std::string_view() : found->text;
}

}  // namespace lastlook::sync
