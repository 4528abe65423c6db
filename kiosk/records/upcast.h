// SPDX-License-Identifier: Apache-2.0
// Bodies of old versions become those of the newest, one version at a time, by pure functions.
// Private to the records.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <string_view>

#include "analytics/result.h"
#include "kiosk/records/json_fields.h"

namespace lastlook::records {

// Makes a body of version `from` one of version from + 1.
struct Upcaster {
  std::string_view kind;
  std::int64_t from = 1;
  void (*apply)(Json& body) = nullptr;
};

// All there are. To change a kind's body: change its fields, add the upcaster from the version
// before, keep that version's golden entry.
std::span<const Upcaster> upcasters();

// One more than the number of upcasters of the kind.
std::int64_t newest_version(std::string_view kind, std::span<const Upcaster> all);

// newer: written by a later program. damaged: a version below 1.
Status upcast(Json& body, std::string_view kind, std::int64_t version,
              std::span<const Upcaster> all);

}  // namespace lastlook::records
