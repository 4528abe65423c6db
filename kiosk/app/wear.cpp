// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/wear.h"

#include <algorithm>

#include "kiosk/screens/wording.h"

namespace lastlook::app {

std::vector<analytics::ScorePoint> wear_of(const domain::Master& master,
                                           const domain::ChallengePart& part,
                                           const std::vector<records::PartScore>& scores) {
  std::vector<analytics::ScorePoint> points;
  std::int64_t judged_us = -1;
  for (const records::PartScore& one : scores) {
    const bool faulty = std::ranges::count(part.faults, one.component) > 0;
    if (!faulty && !part.faults.empty()) continue;
    if (one.judged_us != judged_us) points.push_back({one.production_date, 1.0, one.model, ""});
    judged_us = one.judged_us;
    analytics::ScorePoint& point = points.back();
    point.score = std::min(point.score, faulty ? 1 - one.score : one.score);
    if (one.conforming == (faulty ? "no" : "yes")) continue;
    point.wrong +=
        (point.wrong.empty() ? "" : ", ") + screens::component_name(master, one.component);
  }
  return points;
}

}  // namespace lastlook::app
