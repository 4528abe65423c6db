// SPDX-License-Identifier: Apache-2.0
// How much each kind of evidence weighs, and where the unsure band lies.
#pragma once

#include <vector>

#include "vision/lesson.h"

namespace lastlook::vision {

// Logistic regression (maximum posterior) with signs held to sense: no distance may ever speak for
// 'yes'. Sets weights, offset and each held-out probability.
void weigh_evidence(Question& question, std::vector<HeldOut>& held_out);
// Sets yes_at and no_at from the held-out logits alone. Of the units, at most 5 % may have an
// 'unsure' though they are good and at most 2 % may be stopped; each of the components gets its
// share of that, and the tail beyond what was seen is a t distribution's with as many degrees of
// freedom as good pictures less one. A 'yes' must lie above that tail's first limit and above every
// faulty one that was held out; a 'no' below the second, and half way from it to where faulty ones
// lie.
void place_thresholds(Question& question, const std::vector<HeldOut>& held_out,
                      std::size_t components);

}  // namespace lastlook::vision
