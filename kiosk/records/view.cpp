// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/view.h"

#include <algorithm>
#include <map>

#include "kiosk/records/tables.h"
#include "kiosk/text/master_json.h"

namespace lastlook::records {

Result<std::vector<AsOf>> as_of(Store& store, const std::string& station) {
  const auto states = rows<StationStateRow>(store, {});
  if (!states) return tl::unexpected(states.error());
  std::map<std::string, const StationStateRow*> newest;
  for (const StationStateRow& one : *states) {
    if (!station.empty() && one.station != station) continue;
    const StationStateRow*& known = newest[one.station];
    if (!known || known->generation < one.generation) known = &one;
  }
  std::vector<AsOf> all;
  for (const auto& [name, row] : newest)
    all.push_back({name, row->journal, row->seq, row->wall_us, row->offset_min});
  return all;
}

Result<domain::Master> newest_master(Store& store) {
  const auto masters = rows<MasterRow>(store, {});
  if (!masters) return tl::unexpected(masters.error());
  const auto newest = std::ranges::max_element(*masters, {}, &MasterRow::revision);
  if (newest == masters->end()) return domain::Master{};
  return text::read_master(newest->document);
}

}  // namespace lastlook::records
