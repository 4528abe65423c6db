// SPDX-License-Identifier: Apache-2.0
// Which models a station has judged with, one after the other.
#include <fmt/format.h>

#include <algorithm>

#include "kiosk/records/projection.h"

namespace lastlook::records {

void project(At& at, const domain::ModelApproved& it) {
  if (it.model.empty() || it.file.empty()) refuse("a model without a name or a file is approved");
  ApprovedModelRow row;
  row.station = at.station.station;
  row.generation = at.station.generation;
  row.seq = at.entry.seq;
  row.journal = at.entry.journal;
  row.model = it.model;
  row.file = it.file;
  row.before = it.before;
  row.before_file = it.before_file;
  row.product = it.product;
  row.variants = fmt::format("{}", fmt::join(it.variants, " "));
  row.pictures = it.pictures;
  row.overlapping = std::ranges::count(it.gaps, true, &domain::TaughtGap::overlap_accepted);
  row.why = it.why;
  row.approved_by = at.entry.actor;
  row.approved_us = at.now_us();
  at.rows.put(row);
}

}  // namespace lastlook::records
