// SPDX-License-Identifier: Apache-2.0
// What testers and the order system say of units, as CSV: a row is a result, or what a unit is
// built as.
//
//   serial,test,result,value,measured
//   26330-00417,leak,passed,0.4 cm3/min,2026-11-25T06:12:03+01:00
//   26330-00418,fill_mass,failed,1.82 kg,2026-11-25T06:13:40+01:00
//
//   serial,variant
//   26330-00417,CP-210
//
// test: dimensions, leak, fill_mass, torque_angle, functional. result: passed or failed. value: as
// the tester printed it, with its unit; may be left out. measured: ISO 8601 with its offset. One
// file may have all columns, and rows of both kinds.
#pragma once

#include <string>
#include <vector>

#include "analytics/result.h"
#include "kiosk/domain/happening.h"

namespace lastlook::text {

struct ResultFile {
  std::vector<domain::UnitBuilt> built;
  std::vector<domain::ResultEntered> results;
};

// Errors name file, line and column; nothing of such a file is to be used.
Result<ResultFile> read_result_file(const std::string& path);

}  // namespace lastlook::text
