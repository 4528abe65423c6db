// SPDX-License-Identifier: Apache-2.0
// What the shift review, the reports and the analytics commands ask of the records. All read the
// counts that the projector keeps, never the raw answers.
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "analytics/result.h"
#include "kiosk/records/view.h"

namespace lastlook::records {

// Which looks: production dates from..to (both included, "2026-11-02"); empty: no restriction.
struct Period {
  std::string from, to, shift, station, variant;
};

// $1 to $5 of every query of a period, in the order of its fields; an open end is the last day of
// the calendar.
Row parameters(const Period& period);

struct DefectCount {
  std::string component, defect, severity;
  std::int64_t findings = 0;  // finding-based: each once, however many looks saw it
  std::int64_t units = 0;     // first looks with at least one of it
};
Result<std::vector<DefectCount>> defect_counts(View view, const Period& period);

// The same, each count where it was made: by quarter-hour of the day (0 to 95), station and
// variant.
struct DefectCell {
  std::string production_date, shift;
  std::int64_t quarter = 0;
  std::string station, variant;
  DefectCount count;
};
Result<std::vector<DefectCell>> defect_cells(View view, const Period& period);

struct LookCounts {
  std::int64_t first_looks = 0;  // closed ones
  std::int64_t first_pass = 0;   // accepted at the first look, without concession
  std::int64_t looks = 0;        // closed, all numbers
  std::int64_t accept = 0, rework = 0, hold = 0, scrap = 0;
};
Result<LookCounts> look_counts(View view, const Period& period);

// One row a production date and shift, in time order.
struct ShiftRow {
  std::string production_date, shift;
  LookCounts counts;
};
Result<std::vector<ShiftRow>> by_shift(View view, const Period& period);

// Under which conditions the first looks of a shift were made. Reads the looks of the period
// themselves, so it is meant for months, not for years.
struct ShiftConditions {
  std::string production_date, shift;
  std::int64_t first_looks = 0;   // closed ones
  std::int64_t with_opinion = 0;  // of them, with an opinion of the camera on record
  // Of the master data, by variant: the one that most of its first looks were made under.
  std::map<std::string, std::int64_t> revisions;
};
Result<std::vector<ShiftConditions>> shift_conditions(View view, const Period& period);

// What people wrote for the next shift, oldest first; the period's variant says nothing of it.
struct HandoverNote {
  std::string note;
  std::int64_t noted_us = 0;
};
Result<std::vector<HandoverNote>> handover_notes(View view, const Period& period);

struct WaitingUnit {
  std::string look, station, serial, ticket, variant, why;  // why: hold reason or park reason word
  bool parked = false;                                      // else on hold
  std::int64_t since_us = 0;
};
// Held and parked units now, oldest first; `station` empty: of all.
Result<std::vector<WaitingUnit>> waiting_units(View view, const std::string& station = "");

}  // namespace lastlook::records
