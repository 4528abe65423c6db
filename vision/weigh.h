// SPDX-License-Identifier: Apache-2.0
// How much each kind of evidence weighs, and where the unsure band lies.
#pragma once

#include <vector>

#include "vision/lesson.h"

namespace lastlook::vision {

// Logistic regression (maximum posterior) with signs held to sense: no distance may ever speak for
// 'yes'. Sets weights, offset and each held-out probability.
void weigh_evidence(Question& question, std::vector<HeldOut>& held_out);
// Sets yes_at and no_at.
void place_thresholds(Question& question, const std::vector<HeldOut>& held_out);

}  // namespace lastlook::vision
