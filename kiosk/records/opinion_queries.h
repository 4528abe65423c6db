// SPDX-License-Identifier: Apache-2.0
// The camera's opinions beside the answers that people gave.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "analytics/result.h"
#include "kiosk/records/shift_queries.h"

namespace lastlook::records {

// Steps of closed looks for which there was an opinion, by the inspector's first answer and by what
// the opinion came to against the variant.
struct OpinionCount {
  std::string component;
  std::int64_t good_yes = 0, good_no = 0, good_unsure = 0;  // answered conforming
  std::int64_t bad_yes = 0, bad_no = 0, bad_unsure = 0;     // answered nonconforming
};
// By component. Reads the answers of the period, so it is meant for a shift or a few.
Result<std::vector<OpinionCount>> opinion_counts(View view, const Period& period);

// Closed looks of the period that have an opinion.
Result<std::int64_t> looks_with_opinion(View view, const Period& period);

// An answer that was given before the person had seen what the camera thinks, and that opinion.
struct IndependentAnswer {
  std::string look, serial, component;
  std::string answer;      // conforming, nonconforming; the first one, before any correction
  std::string conforming;  // of the camera: yes, no, unsure
  // Of a second look: what the first came to, and with which probability the unit was drawn.
  std::string first;  // empty: an ordinary look
  double rate = 1.0;
};
// Of closed looks, second looks among them. Reads the answers of the period, so it is meant for
// weeks, not for years.
Result<std::vector<IndependentAnswer>> independent_answers(View view, const Period& period);

}  // namespace lastlook::records
