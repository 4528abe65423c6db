// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/whereabouts.h"

#include <fmt/format.h>

#include <algorithm>

#include "kiosk/domain/clock.h"

namespace lastlook::commands {

LocalTimes::LocalTimes(const OpenSource& source) {
  for (const records::AsOf& one : source.as_of) offset_min_[one.station] = one.offset_min;
}

std::string LocalTimes::iso(const std::string& station, std::int64_t us) const {
  const auto known = offset_min_.find(station);
  return domain::iso_time(us, known == offset_min_.end() ? 0 : known->second);
}

std::string LocalTimes::minute(const std::string& station, std::int64_t us) const {
  std::string time = iso(station, us).substr(0, 16);
  time[10] = ' ';
  return time;
}

Json LocalTimes::json(const records::Whereabouts& now) const {
  Json out = {{"state", now.state}};
  if (now.station.empty()) return out;
  out["station"] = now.station;
  out["since"] = iso(now.station, now.since_us);
  out["why"] = now.why;
  return out;
}

std::string LocalTimes::in_words(const records::Whereabouts& now) const {
  std::string state = now.state;
  std::ranges::replace(state, '_', ' ');
  if (now.station.empty()) return state;
  return fmt::format("{} at {} since {}{}", state, now.station, minute(now.station, now.since_us),
                     now.why.empty() ? "" : ": " + now.why);
}

}  // namespace lastlook::commands
