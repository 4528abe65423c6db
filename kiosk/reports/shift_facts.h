// SPDX-License-Identifier: Apache-2.0
// What one shift at a station comes to, for the five questions of its review. Numbers only; the
// wording is the report's.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "analytics/pareto.h"
#include "analytics/result.h"
#include "analytics/second_look.h"
#include "analytics/yield.h"
#include "kiosk/records/audit.h"
#include "kiosk/records/challenge_queries.h"
#include "kiosk/records/claim_queries.h"
#include "kiosk/records/opinion_queries.h"
#include "kiosk/records/reaction_queries.h"
#include "kiosk/records/shift_queries.h"
#include "kiosk/reports/usual.h"

namespace lastlook::reports {

// The camera's opinion beside the inspector's first answer, summed over components.
struct CameraSums {
  std::int64_t good = 0, bad = 0;             // steps with an opinion, by the inspector's answer
  std::int64_t missed = 0, false_alarms = 0;  // opinion 'yes' on bad, 'no' on good
  std::int64_t good_unsure = 0, bad_unsure = 0;
};

// What blind second looks say of the units let pass in the four weeks up to a day, and what was
// reported from the field meanwhile.
struct LetPass {
  analytics::Escapes escapes;
  std::int64_t drawn = 0;  // of them, for a second look; escapes.accepted were looked at again
  // Units whose fault was reported in these weeks, whenever they were let pass.
  records::ClaimCounts field{};
};

struct ShiftFacts {
  std::string station, product, shift_name;
  WhichShift which;
  records::LookCounts counts;
  std::optional<analytics::Rate> first_pass;  // nullopt: no first looks
  analytics::ParetoTable findings;            // kinds as "Component: defect"
  Usual usual;
  std::vector<records::WaitingUnit> waiting;
  std::vector<records::OpinionCount> camera;  // one a component, those without an opinion left out
  CameraSums camera_sums;
  std::int64_t looks_with_opinion = 0;
  std::vector<records::ProofOfShift> proofs;      // of the camera, by variant and model
  std::vector<records::ContainedUnit> contained;  // by those that failed
  LetPass let_pass;
  std::optional<records::Verdict> journal;  // none: not checked
  std::vector<domain::Reaction> reactions;  // open ones of the station, named like findings
  std::vector<domain::HelpCall> help;       // calls of the shift
  std::vector<domain::ViewingCheck> viewing;
  std::vector<std::string> notes;  // for the next shift, as people wrote them
  std::int64_t written_us = 0;
  int offset_min = 0;
};

// By its id in the master data; the id itself where it is not known there (any more).
std::string shift_name(const domain::Master& master, const std::string& id);

// Reads the records only through their queries; the journal is not checked.
Result<ShiftFacts> shift_facts(records::Records& records, const WhichShift& which,
                               const std::vector<std::string>& notes, const domain::Reading& now);
// The same and the journal verified, which takes a while: for what is printed.
Result<ShiftFacts> checked_shift_facts(records::Records& records, const WhichShift& which,
                                       const std::vector<std::string>& notes,
                                       const domain::Reading& now);

}  // namespace lastlook::reports
