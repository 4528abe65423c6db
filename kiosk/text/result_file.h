// SPDX-License-Identifier: Apache-2.0
// What testers and the order system say of units, as CSV: a row is a result, what a unit is built
// as, or a part inside it.
//
//   serial,test,result,value,measured
//   26330-00417,leak,passed,0.4 cm3/min,2026-11-25T06:12:03+01:00
//   26330-00418,fill_mass,failed,1.82 kg,2026-11-25T06:13:40+01:00
//
//   serial,variant
//   26330-00417,CP-210
//
//   serial,part,lot
//   26330-00417,seal ring,L-2291
//   26330-00417,stator,S-118734
//
// test: dimensions, leak, fill_mass, torque_angle, functional. result: passed or failed. value: as
// the tester printed it, with its unit; may be left out. measured: ISO 8601 with its offset. made:
// the day, 2026-11-25, beside a variant; may be left out. lot: or the part's own number. The parts
// that one file names of a unit take the place of those of the same types named before. One file
// may have all columns, and rows of all kinds.
#pragma once

#include <string>
#include <vector>

#include "analytics/result.h"
#include "kiosk/domain/happening.h"

namespace lastlook::text {

struct ResultFile {
  std::vector<domain::UnitBuilt> built;
  std::vector<domain::ResultEntered> results;
  std::vector<domain::PartsFitted> fitted;  // each unit once
};

// Errors name file, line and column; nothing of such a file is to be used.
Result<ResultFile> read_result_file(const std::string& path);

}  // namespace lastlook::text
