// SPDX-License-Identifier: Apache-2.0
// Challenge parts: rows of their own, so that no count of production can see them.
#include <fmt/format.h>

#include <algorithm>

#include "kiosk/records/projection.h"

namespace lastlook::records {
namespace {

ShowingRow open_showing(Rows& rows, const std::string& showing) {
  auto row = rows.find<ShowingRow>({showing});
  if (!row) refuse(fmt::format("there is no showing {}", showing));
  if (row->state != "open") refuse(fmt::format("showing {} has ended", showing));
  return *std::move(row);
}

void put_proof_entry(At& at, const std::string& date, const std::string& shift) {
  at.rows.put(ProofEntryRow{at.station.station, at.station.generation, at.entry.seq,
                            at.entry.journal, date, shift});
}

// Keeps the entry among those that tell which proofs hold; those of another shift go.
void remember_for_proof(At& at) {
  const std::string& date = at.stamp.production_date;
  const std::string& shift = at.stamp.shift;
  for (const auto& entry : at.rows.all<ProofEntryRow>({at.station.station})) {
    const bool of_camera = entry.production_date.empty();
    if (of_camera || (entry.production_date == date && entry.shift == shift)) continue;
    at.rows.erase<ProofEntryRow>({entry.station, entry.generation, entry.seq});
  }
  put_proof_entry(at, date, shift);
}

}  // namespace

void project(At& at, const domain::PartShown& it) {
  if (at.rows.find<ShowingRow>({it.showing}))
    refuse(fmt::format("there is a showing {} already", it.showing));
  ShowingRow row;
  row.showing = it.showing;
  row.journal = at.entry.journal;
  row.station = at.station.station;
  row.part = it.part;
  row.variant = it.variant;
  row.shown_us = at.now_us();
  row.shown_by = at.entry.actor;
  at.rows.put(row);
  remember_for_proof(at);
}

void project(At& at, const domain::PartJudged& it) {
  ShowingRow row = open_showing(at.rows, it.showing);
  row.state = "judged";
  row.ended_us = at.now_us();
  row.production_date = it.production_date;
  row.shift = it.shift;
  row.model = it.model;
  row.picture = it.picture;
  row.proof = it.proof;
  row.unmet = static_cast<std::int64_t>(it.unmet.size());
  at.rows.put(row);
  for (const domain::ComponentOpinion& one : it.components)
    at.rows.put(ShowingOpinionRow{it.showing, one.component, one.opinion, one.conforming, one.score,
                                  one.reason, one.reason_value,
                                  std::ranges::count(it.unmet, one.component) == 0});
  remember_for_proof(at);
}

void project(At& at, const domain::PartLeft& it) {
  ShowingRow row = open_showing(at.rows, it.showing);
  row.state = "left";
  row.ended_us = at.now_us();
  row.production_date = at.stamp.production_date;
  row.shift = at.stamp.shift;
  row.why_left = it.why;
  at.rows.put(row);
  remember_for_proof(at);
}

void project(At& at, const domain::CameraChanged&) {
  for (const auto& entry : at.rows.all<ProofEntryRow>({at.station.station}))
    at.rows.erase<ProofEntryRow>({entry.station, entry.generation, entry.seq});
  put_proof_entry(at, "", "");
}

}  // namespace lastlook::records
