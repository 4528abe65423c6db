// SPDX-License-Identifier: Apache-2.0
// When, as the clock of a station had it, and where a unit is now.
#pragma once

#include <cstdint>
#include <map>
#include <string>

#include "kiosk/commands/station_source.h"
#include "kiosk/records/unit_story.h"

namespace lastlook::commands {

// Local times by each station's own offset, as its newest entry has it.
class LocalTimes {
 public:
  explicit LocalTimes(const OpenSource& source);
  std::string iso(const std::string& station, std::int64_t us) const;
  std::string minute(const std::string& station, std::int64_t us) const;  // "2026-11-25 06:12"
  Json json(const records::Whereabouts& now) const;
  std::string in_words(const records::Whereabouts& now) const;

 private:
  std::map<std::string, int, std::less<>> offset_min_;
};

}  // namespace lastlook::commands
