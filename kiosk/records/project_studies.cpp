// SPDX-License-Identifier: Apache-2.0
// Agreement studies: rows of their own, so that no count of production can see them.
#include <fmt/format.h>

#include "kiosk/records/projection.h"

namespace lastlook::records {
namespace {

// Of the entry's own station, which alone can plan, rate and end it.
StudyRow running_study(const At& at, const std::string& study) {
  auto row = at.rows.find<StudyRow>({study});
  if (!row || row->station != at.station.station)
    refuse(fmt::format("there is no study {}", study));
  if (row->ended_us != 0) refuse(fmt::format("study {} has ended", study));
  return *std::move(row);
}

}  // namespace

void project(At& at, const domain::StudyPlanned& it) {
  if (at.rows.find<StudyRow>({it.study}))
    refuse(fmt::format("there is a study {} already", it.study));
  StudyRow row;
  row.study = it.study;
  row.station = at.station.station;
  row.plan = encode(it);  // in its newest form
  row.planned_by = at.entry.actor;
  row.planned_us = at.now_us();
  row.wanted = std::ssize(it.items) * std::ssize(it.inspectors) * it.trials;
  at.rows.put(row);
}

void project(At& at, const domain::StudyRated& it) {
  StudyRow row = running_study(at, it.study);
  at.rows.put(
      StudyRatingRow{it.study, ++row.rated, it.person, it.trial, it.item, it.rating, at.now_us()});
  at.rows.put(row);
}

void project(At& at, const domain::StudyEnded& it) {
  StudyRow row = running_study(at, it.study);
  row.ended_us = at.now_us();
  row.why_ended = it.why;
  at.rows.put(row);
}

}  // namespace lastlook::records
