// SPDX-License-Identifier: Apache-2.0
// What the records tell of the camera's proofs: which held, which units to look at again after one
// failed, how the scores on a part drift as it wears.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "analytics/result.h"
#include "kiosk/records/shift_queries.h"

namespace lastlook::records {

// How the proof of one shift, station, variant and model ended, in the order of their first part.
struct ProofOfShift {
  std::string production_date, shift, station, variant, model;
  std::string state;                  // "begun", "held", "failed", after the last part
  std::int64_t parts = 0;             // judged
  std::vector<std::string> failures;  // showings whose part was not met: see containment()
};
Result<std::vector<ProofOfShift>> proofs(View view, const Period& period);

struct AcceptedUnit {
  std::string look, serial;
  std::int64_t closed_us = 0;
};

// How far back a containment reaches: to the last proof that held; where there is none on record,
// to the model's first opinion there, for nothing was accepted on one before; where it never gave
// one, no unit is in doubt.
enum class Reach { held_proof, first_opinion, no_opinion };

// Units that a failed proof puts in doubt: those this station accepted on that variant and model.
struct Containment {
  std::string showing, part;  // what failed
  std::string station, variant, model;
  std::vector<std::string> components;  // whose opinion was not what the part must get
  Reach reach = Reach::held_proof;
  std::int64_t since_us = 0;         // when that proof was held, or that opinion given
  std::int64_t until_us = 0;         // when this one failed
  std::vector<AcceptedUnit> relied;  // an opinion of that model was shown: all of them
  std::int64_t others = 0;           // accepted without one
  // Of the others, one in ten and at least five: so many that a fault of the line and not of the
  // camera would hardly hide. Drawn by the showing's id, the same each time. The site's own rules
  // may want more.
  std::vector<AcceptedUnit> sample;
};
// not_found: no such showing; refused: its part was met.
Result<Containment> containment(View view, const std::string& showing);

// The look that answers a doubt: the newest closed one, second looks too, that began after it.
struct LookedAgain {
  std::string look, station;
  domain::Disposition disposition = domain::Disposition::accept;
  std::int64_t closed_us = 0;
};

// A unit in doubt after a failed proof.
struct ContainedUnit {
  std::string look, serial, variant;
  std::int64_t closed_us = 0;
  bool relied = false;  // an opinion was shown; else it is one of the sample of the others
  std::string station{};
  std::vector<std::string> components{};  // of all proofs that put it in doubt
  std::int64_t doubted_us = 0;            // when the newest of these failed
  std::optional<LookedAgain> again{};     // none: it is to be looked at again
};

// Of all proofs that failed in a period, in the order of proofs(); and of those, each unit once:
// those that relied on an opinion first, each group by the time of its acceptance. Failures that
// reach back to one held proof share a sample, that of the first. Whether they were looked at again
// is found by find_looks_again(), which contained() does.
std::vector<ContainedUnit> contained_units(const std::vector<Containment>& containments);
Status find_looks_again(View view, std::vector<ContainedUnit>& units);
Result<std::vector<Containment>> containments(View view, const Period& period);
Result<std::vector<ContainedUnit>> contained(View view, const Period& period);

// One component of a part each time it was judged, in time order.
struct PartScore {
  std::int64_t judged_us = 0;
  std::string production_date, shift, station, model, component, conforming;
  double score = 0.0;  // estimated probability of conforming
};
Result<std::vector<PartScore>> part_scores(View view, const std::string& part);

}  // namespace lastlook::records
