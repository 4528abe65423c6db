// SPDX-License-Identifier: Apache-2.0
// The station itself, its people, its permissions.
#include <fmt/format.h>

#include "kiosk/records/projection.h"

namespace lastlook::records {

void project(At& at, const domain::JournalStarted& it) {
  at.station.journal = at.entry.journal;
  at.station.station = it.station;
  if (const auto before = at.rows.find<StationStateRow>({it.after_journal})) {
    at.station.generation = before->generation + 1;
    at.station.master_revision = before->master_revision;
  }
}

void project(At& at, const domain::MasterAdopted& it) {
  at.rows.put(MasterRow{at.station.station, it.revision, it.approved_by, it.document,
                        at.entry.journal, at.station.generation, at.entry.seq});
  at.station.master_revision = it.revision;
}

void project(At&, const domain::ClockJumped&) {}  // the journal alone says it

void project(At& at, const domain::SignedIn&) {
  at.station.signed_seq = at.entry.seq;
}

void project(At& at, const domain::SignInAllowed& it) {
  at.rows.put(SignInAllowanceRow{at.station.station, it.person, it.despite, at.entry.actor, it.why,
                                 at.now_us(), it.until_us});
}

void project(At& at, const domain::SignedOut&) {
  at.station.signed_seq = at.entry.seq;
}

void project(At& at, const domain::ConcessionGranted& it) {
  if (at.rows.find<ConcessionRow>({at.station.station, it.number}))
    refuse(fmt::format("there is a concession {} already", it.number));
  at.rows.put(ConcessionRow{at.station.station, it.number, it.authority, it.variant, it.component,
                            it.defect, it.quantity, it.expires_us, 0});
}

}  // namespace lastlook::records
