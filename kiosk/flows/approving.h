// SPDX-License-Identifier: Apache-2.0
// Which model judges at this station: newly taught, or gone back to. A quality engineer says so,
// between units, before anything is written.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "kiosk/flows/inspection.h"

namespace lastlook::flows {

// Why nobody at the station may teach or change the model now; nullopt: the one signed in may.
std::optional<Notice> teaching_refused(const Inspection& state);

// The worst right one is no better than the best other one.
bool overlaps(const domain::TaughtGap& gap);

// The file of a model that judged at this station; empty: it never did.
std::string file_of(const std::vector<domain::ApprovedModel>& known, const std::string& model);

// The component of the first gap that a person has still to decide about; nullptr: none.
const domain::TaughtGap* undecided(const std::vector<domain::TaughtGap>& gaps);

}  // namespace lastlook::flows
