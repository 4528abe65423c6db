// SPDX-License-Identifier: Apache-2.0
// Which models a station has judged with, one after the other.
#include "kiosk/records/projection.h"

namespace lastlook::records {

void project(At& at, const domain::ModelApproved& it) {
  if (it.model.empty() || it.file.empty()) refuse("a model without a name or a file is approved");
  ApprovedModelRow row;
  row.station = at.station.station;
  row.generation = at.station.generation;
  row.seq = at.entry.seq;
  row.journal = at.entry.journal;
  at.rows.put(row);
}

}  // namespace lastlook::records
