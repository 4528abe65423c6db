// SPDX-License-Identifier: Apache-2.0
// What the records tell of the camera's proofs: which held, which units to look at again after one
// failed, how the scores on a part drift as it wears.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "analytics/result.h"
#include "kiosk/records/records.h"
#include "kiosk/records/shift_queries.h"

namespace lastlook::records {

// How the proof of one shift, station, variant and model ended, in the order of their first part.
struct ProofOfShift {
  std::string production_date, shift, station, variant, model;
  std::string state;                  // "begun", "held", "failed", after the last part
  std::int64_t parts = 0;             // judged
  std::vector<std::string> failures;  // showings whose part was not met: see containment()
};
Result<std::vector<ProofOfShift>> proofs(Records& records, const Period& period);

struct AcceptedUnit {
  std::string look, serial;
  std::int64_t closed_us = 0;
};

// Units that a failed proof puts in doubt: those this station accepted since the last proof of that
// variant and model was held.
struct Containment {
  std::string variant, model;
  std::int64_t since_us = 0;         // when that proof was held; 0: there was none before
  std::int64_t until_us = 0;         // when this one failed
  std::vector<AcceptedUnit> relied;  // an opinion of that model was shown: all of them
  std::int64_t others = 0;           // accepted without one
  // Of the others, one in ten and at least five: so many that a fault of the line and not of the
  // camera would hardly hide. Drawn by the showing's id, the same each time. The site's own rules
  // may want more.
  std::vector<AcceptedUnit> sample;
};
// not_found: no such showing; refused: its part was met.
Result<Containment> containment(Records& records, const std::string& showing);

// A unit in doubt after a failed proof.
struct ContainedUnit {
  std::string look, serial, variant;
  std::int64_t closed_us = 0;
  bool relied = false;  // an opinion was shown; else it is one of the sample of the others
};

// Of all proofs that failed in a period, each unit once: those that relied on an opinion first,
// each group by the time of its acceptance. Failures that reach back to one held proof share a
// sample, that of the first.
Result<std::vector<ContainedUnit>> contained(Records& records, const Period& period);

// One component of a part each time it was judged, in time order.
struct PartScore {
  std::int64_t judged_us = 0;
  std::string production_date, shift, station, model, component, conforming;
  double score = 0.0;  // estimated probability of conforming
};
Result<std::vector<PartScore>> part_scores(Records& records, const std::string& part);

}  // namespace lastlook::records
