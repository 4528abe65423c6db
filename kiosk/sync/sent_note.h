// SPDX-License-Identifier: Apache-2.0
// What a station remembers of its last sending, in FOLDER/sent.json.
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>

#include "analytics/result.h"

namespace lastlook::sync {

struct SentNote {
  std::string journal;
  std::int64_t seq = 0;      // acknowledged
  std::int64_t when_us = 0;  // wall time; 0: never
  int offset_min = 0;
};

// Nothing was sent yet, or the note cannot be understood: an empty one. It is only a note.
SentNote read_note(const std::filesystem::path& folder);
Status write_note(const std::filesystem::path& folder, const SentNote& note);

}  // namespace lastlook::sync
