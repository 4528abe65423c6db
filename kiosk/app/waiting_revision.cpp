// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/waiting_revision.h"

#include "kiosk/text/master_json.h"

namespace lastlook::app {

void WaitingRevision::offer(const domain::MasterAdopted& newer) {
  if (newer != useless_) waits_ = newer;
}

Result<std::int64_t> WaitingRevision::adopt(flows::Station& station) {
  const flows::Inspection& state = station.state();
  if (!waits_ || state.open || state.challenge.open) return 0;
  const domain::MasterAdopted newer = *std::move(waits_);
  waits_.reset();
  if (newer.revision <= state.master.revision) return 0;  // offered twice
  const auto adopted = text::read_master(newer.document).and_then([&](const auto& master) {
    return station.handle(
        flows::AdoptMaster{master, newer.document, newer.approved_by, newer.second_person, true});
  });
  if (adopted && !adopted->happenings.empty()) return newer.revision;
  if (adopted) return 0;  // something else comes first; it is offered again
  useless_ = newer;
  return tl::unexpected(adopted.error());
}

}  // namespace lastlook::app
