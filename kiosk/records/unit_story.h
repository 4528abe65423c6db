// SPDX-License-Identifier: Apache-2.0
// All that the records know of one unit, in the order in which it happened.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "kiosk/records/tables.h"
#include "kiosk/records/view.h"

namespace lastlook::records {

struct LookStory {
  LookRow look;
  std::vector<StepAnswerRow> answers;
  std::vector<FindingRow> findings;  // those taken back too
  std::vector<OpinionRow> opinions;
  std::vector<CorrectionRow> corrections;
  std::optional<HoldReleaseRow> release = {};  // of its hold
};

// Where a unit is, by its newest look.
struct Whereabouts {
  // not_looked_at, being_looked_at, parked, held_back (for a second look), accepted, in_rework,
  // on_hold, scrapped
  std::string state = "not_looked_at";
  std::string station, why;
  std::int64_t since_us = 0;
};

struct UnitStory {
  std::string serial;
  bool disputed = false;                   // two bodies carry it
  std::vector<UnitBuildRow> builds;        // the newest last
  std::vector<UnitPartRow> parts;          // each once; those replaced too
  std::vector<UpstreamResultRow> results;  // each once, in the order of arrival
  // By number; a second look follows the one that it repeats, once it is done.
  std::vector<LookStory> looks;
  std::vector<ClaimRow> claims;  // each once, in the order of the reports
  Whereabouts now;
};

// Nothing: the serial was never seen.
Result<std::optional<UnitStory>> unit_story(View view, const std::string& serial);

// The same of the unit that a look was of; of one without a serial that look alone. not_found: no
// such look.
Result<UnitStory> story_of_look(View view, const std::string& look);

// Where the unit of a look is; it may have been looked at again since, at any station.
Result<Whereabouts> where_is(View view, const std::string& look);

}  // namespace lastlook::records
