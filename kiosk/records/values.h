// SPDX-License-Identifier: Apache-2.0
// What a query's column holds, read as what it is meant to be; NULL and anything else as nothing.
#pragma once

#include <cstdint>
#include <limits>
#include <string>

#include "kiosk/records/store.h"

namespace lastlook::records {

inline std::string text(const Value& value) {
  const auto* is = std::get_if<std::string>(&value);
  return is ? *is : std::string();
}

inline std::int64_t whole(const Value& value) {
  const auto* is = std::get_if<std::int64_t>(&value);
  return is ? *is : 0;
}

inline double number(const Value& value) {
  const auto* is = std::get_if<double>(&value);
  return is ? *is : std::numeric_limits<double>::quiet_NaN();
}

}  // namespace lastlook::records
