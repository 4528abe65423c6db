// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/projection.h"

namespace lastlook::records {

void project(At& at, const domain::HandoverNoted& it) {
  at.rows.put(HandoverNoteRow{at.stamp.production_date, at.stamp.shift, at.station.station,
                              at.entry.journal, at.entry.seq, at.now_us(), it.note});
}

}  // namespace lastlook::records
