// SPDX-License-Identifier: Apache-2.0
// Blind second looks of a station's records as the statistics take them.
#pragma once

#include <string>
#include <vector>

#include "analytics/second_look.h"
#include "kiosk/commands/reply.h"
#include "kiosk/records/second_look_queries.h"

namespace lastlook::commands {

// Of the units of one kind that were drawn, those whose second look was done.
struct Drawn {
  std::int64_t drawn = 0;
  std::int64_t done = 0;
};

struct SecondLooks {
  // `rate` is that of a second look that was done: those done stand for all that were drawn of
  // their kind.
  std::vector<records::SecondLookDone> done;
  Drawn accepted, rejected;  // by the first look
};

// refused: none was done in the period.
Result<SecondLooks> done_second_looks(records::View view, const records::Period& period);

// "30 units were drawn, 20 looked at again; not yet or never: 8 of 25 accepted and 2 of 5 rejected
// ones, taken to be like the others of their kind".
std::string drawn_in_words(const SecondLooks& looks);
Json drawn_json(const SecondLooks& looks);

// each: what a period of the time chart is: "day", "week" or "shift", of the first look.
std::vector<analytics::SecondLook> as_second_looks(const std::vector<records::SecondLookDone>& done,
                                                   const std::string& each);

}  // namespace lastlook::commands
