// SPDX-License-Identifier: Apache-2.0
// An entry as one line of JSON, its bytes as text and its hashes in hex: in exports, and where
// entries travel as files.
#pragma once

#include <string>

#include "analytics/result.h"
#include "kiosk/records/entry.h"

namespace lastlook::records {

std::string write_line(const Entry& entry);  // without the line's end

// bad_input: no JSON, a field is missing or of another type, a hash is not 64 hex digits.
Result<Entry> read_line(const std::string& line);

// bad_input: not 64 hex digits.
Result<Hash> hash_from_hex(const std::string& hex);

}  // namespace lastlook::records
