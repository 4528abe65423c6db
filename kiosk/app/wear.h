// SPDX-License-Identifier: Apache-2.0
// How a challenge part wears: how surely the camera judged it right, each time it was shown.
#pragma once

#include <vector>

#include "analytics/score_track.h"
#include "kiosk/domain/master.h"
#include "kiosk/records/challenge_queries.h"

namespace lastlook::app {

// One point a showing, in time order. Its score is the least, over the components that count on
// this part, of the estimated probability that the component is what it must be: conforming on a
// good part, nonconforming at each fault of a faulty one. A fall over weeks says that part, light
// or lens have changed; it is no miss rate.
std::vector<analytics::ScorePoint> wear_of(const domain::Master& master,
                                           const domain::ChallengePart& part,
                                           const std::vector<records::PartScore>& scores);

}  // namespace lastlook::app
