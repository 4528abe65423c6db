// SPDX-License-Identifier: Apache-2.0
// What a scanned or typed code says: a serial, and perhaps the type of its tag.
#pragma once

#include <string>
#include <string_view>

#include "analytics/result.h"
#include "kiosk/domain/master.h"

namespace lastlook::domain {

struct TagCode {
  std::string code;    // as read, without surrounding blanks
  std::string serial;  // as printed
  std::string type;    // the prefix that the printed serial lacks; empty: the code did not say
};

// Reads a code by the plant's pattern. bad_input: what was read and what the pattern expects.
Result<TagCode> read_code(const Master& master, std::string_view code);

}  // namespace lastlook::domain
