// SPDX-License-Identifier: Apache-2.0
// The sentences that page and plain text of a shift share.
#pragma once

#include <string>

#include "kiosk/reports/shift_facts.h"
#include "kiosk/text/strings.h"

namespace lastlook::reports {

// Of 0 to 1, one digit after the decimal sign, without the sign of percent.
std::string percent(const text::Strings& say, double share);
std::string age(std::int64_t us, const text::Strings& say);  // "3 h 20 min"
std::string unit_name(const records::WaitingUnit& unit);     // serial, or ticket without one
std::int64_t parked_units(const ShiftFacts& facts);

std::string head(const ShiftFacts& facts, const text::Strings& say);  // "Early shift, 2026-11-25"
std::string most_answer(const ShiftFacts& facts, const text::Strings& say);
std::string usual_answer(const ShiftFacts& facts, const text::Strings& say);
std::string waiting_answer(const ShiftFacts& facts, const text::Strings& say);
std::string look_answer(const ShiftFacts& facts, const text::Strings& say);
// What blind second looks say of the units let pass, with their limit; that nothing does.
std::string let_pass_answer(const ShiftFacts& facts, const text::Strings& say);
// What came back from the field in these weeks; empty: nothing.
std::string field_answer(const ShiftFacts& facts, const text::Strings& say);
// How the camera's proofs ended: "CP-210 proved with 2 parts, …"; that there was none.
std::string proof_answer(const ShiftFacts& facts, const text::Strings& say);
// What the next shift must know, one sentence each; never empty.
std::vector<std::string> next_answers(const ShiftFacts& facts, const text::Strings& say);

}  // namespace lastlook::reports
