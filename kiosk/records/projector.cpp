// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/projector.h"

#include <variant>

#include "kiosk/records/projection.h"

namespace lastlook::records {

void refuse(std::string why) {
  throw Failed{{Category::refused, std::move(why)}};
}

Status project(Store& store, const Entry& entry, const Stamp& stamp,
               const domain::Happening& happening) {
  try {
    Rows rows(store);
    StationStateRow station;
    if (const auto known = rows.find<StationStateRow>({entry.journal})) station = *known;
    At at{rows, entry, station, stamp};
    std::visit([&](const auto& one) { project(at, one); }, happening);
    const domain::Reading& now = stamp.reading;
    if (station.seq == 0 || station.offset_min != now.offset_min)
      rows.put(LocalTimeRow{station.station, station.generation, entry.seq, now.wall_us,
                            now.offset_min});
    station.seq = entry.seq;
    station.hash = to_hex(entry.hash);
    station.wall_us = now.wall_us;
    station.offset_min = now.offset_min;
    rows.put(station);
  } catch (const Failed& failed) {
    return tl::unexpected(failed.error);
  }
  return {};
}

}  // namespace lastlook::records
