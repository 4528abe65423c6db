// SPDX-License-Identifier: Apache-2.0
// Escapes that the field found: units let pass that came back with what their last look ought to
// have stopped.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "analytics/interval.h"
#include "kiosk/commands/output.h"
#include "kiosk/records/claim_queries.h"

namespace lastlook::commands {

// Definition: units accepted in the period whose claim was judged an escape, of all that were
//   accepted then.
// Divisor: looks of the period that accepted.
// Least n: 1 of them.
// Edges: nothing accepted -> no rate; claims whose unit these records never accepted count nowhere.
//   A lower bound of what was let pass: not everything comes back, and not all at once.
// Interval method: exact (Clopper-Pearson).
// Source: common practice.
struct FieldEscapes {
  records::ClaimCounts claims;
  std::int64_t accepted = 0;
  Result<analytics::Interval> limits;
};
Result<FieldEscapes> field_escapes(records::View view, const records::Period& period);

Json as_json(const FieldEscapes& field);
std::string in_a_sentence(const FieldEscapes& field);
std::string_view in_words(domain::ClaimVerdict verdict);

}  // namespace lastlook::commands
