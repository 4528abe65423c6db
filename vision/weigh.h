// SPDX-License-Identifier: Apache-2.0
// How much each kind of evidence weighs, and where the unsure band lies.
#pragma once

#include <vector>

#include "vision/lesson.h"

namespace lastlook::vision {

// Logistic regression (maximum posterior) with signs held to sense: no distance may ever speak for
// 'yes'. Sets weights, offset and each held-out probability.
void weigh_evidence(Question& question, std::vector<HeldOut>& held_out);
// Sets yes_at and no_at from held-out logits alone. Of the units, at most 5 % may have an 'unsure'
// though they are good and at most 2 % may be stopped; each component gets its share of that. The
// right ones' logits, of pictures as they were taken, give a mean and a spread, which is at least a
// set part of the way to faulty ones; the tail beyond is a t distribution's with as many degrees of
// freedom as good pictures less one. A 'yes' must lie above the first limit, above every real
// faulty one that was held out, and where a question is worth less than a miss is bad; a 'no' lies
// half way from the second limit to where faulty ones lie.
void place_thresholds(Question& question, const std::vector<HeldOut>& held_out,
                      std::size_t components);

}  // namespace lastlook::vision
