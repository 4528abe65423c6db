// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/whereabouts.h"

#include <fmt/format.h>

#include <algorithm>

#include "kiosk/domain/clock.h"
#include "kiosk/records/tables.h"

namespace lastlook::commands {

Result<LocalTimes> LocalTimes::of(const OpenSource& source) {
  const auto rows = records::rows<records::LocalTimeRow>(source.view().store, {});
  if (!rows) return tl::unexpected(rows.error());
  LocalTimes times;
  for (const records::LocalTimeRow& one : *rows)
    times.offset_min_[one.station][one.since_us] = one.offset_min;
  return times;
}

std::string LocalTimes::iso(const std::string& station, std::int64_t us) const {
  const auto known = offset_min_.find(station);
  if (known == offset_min_.end()) return domain::iso_time(us, 0);
  const auto after = known->second.upper_bound(us);
  const auto then = after == known->second.begin() ? after : std::prev(after);
  return domain::iso_time(us, then->second);
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
  std::string why = now.why;
  for (std::string* word : {&state, &why}) std::ranges::replace(*word, '_', ' ');
  if (now.station.empty()) return state;
  return fmt::format("{} at {} since {}{}", state, now.station, minute(now.station, now.since_us),
                     why.empty() ? "" : ": " + why);
}

}  // namespace lastlook::commands
