// SPDX-License-Identifier: Apache-2.0
// What a revision changes in what an inspector judges, as opposed to shifts, rates or locks.
#pragma once

#include <string>
#include <vector>

#include "kiosk/domain/master.h"

namespace lastlook::domain {

// In words, each once: "lid is new in the checklist", "lid expected absent", "what is right of
// lid", "defects of lid", "required results", for the variant that both have; empty: the same is
// judged by the same rule. Where a component lies on the picture, names, severities and the order
// of steps are not judged.
std::vector<std::string> judged_changes(const Master& before, const Master& after,
                                        const std::string& variant);

}  // namespace lastlook::domain
