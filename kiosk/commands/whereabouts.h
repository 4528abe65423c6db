// SPDX-License-Identifier: Apache-2.0
// When, as the clock of a station had it, and where a unit is now.
#pragma once

#include <cstdint>
#include <map>
#include <string>

#include "kiosk/commands/station_source.h"
#include "kiosk/records/unit_story.h"

namespace lastlook::commands {

// Local times by the offset from UTC that a station's clock had at that moment; of a moment before
// its first entry, as that has it.
class LocalTimes {
 public:
  static Result<LocalTimes> of(const OpenSource& source);
  std::string iso(const std::string& station, std::int64_t us) const;
  std::string minute(const std::string& station, std::int64_t us) const;  // "2026-11-25 06:12"
  Json json(const records::Whereabouts& now) const;
  std::string in_words(const records::Whereabouts& now) const;

 private:
  // By station, since when, in microseconds.
  std::map<std::string, std::map<std::int64_t, int>, std::less<>> offset_min_;
};

}  // namespace lastlook::commands
