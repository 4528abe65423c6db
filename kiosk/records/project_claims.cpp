// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include "kiosk/records/projection.h"

namespace lastlook::records {

void project(At& at, const domain::ClaimOpened& it) {
  at.rows.put(unit_row(at.rows, it.serial));
  ClaimRow row;
  row.serial = it.serial;
  row.claim = it.claim;
  row.station = at.station.station;
  row.reported = it.reported;
  row.complaint = it.complaint;
  row.opened_us = at.now_us();
  at.rows.put(row);
}

void project(At& at, const domain::ClaimJudged& it) {
  auto row = at.rows.find<ClaimRow>({it.serial, it.claim, at.station.station});
  if (!row) refuse(fmt::format("claim {} of {} was not opened here", it.claim, it.serial));
  row->verdict = it.verdict;
  row->component = it.component;
  row->defect = it.defect;
  row->why = it.why;
  row->judged_us = at.now_us();
  at.rows.put(*row);
}

}  // namespace lastlook::records
