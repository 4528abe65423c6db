// SPDX-License-Identifier: Apache-2.0
// One score over time, from 0 at the bottom to 1 at the top, judgement after judgement: how surely
// a part that stays the same is still judged right. A point that was not right is marked, with why.
#pragma once

#include <string>
#include <vector>

#include "analytics/chart_layout.h"

namespace lastlook::analytics {

struct ScorePoint {
  std::string name;    // below the axis: a date
  double score = 0.0;  // 0 to 1; what lies outside is drawn at the edge
  std::string phase;   // a change of its name starts a new phase: the line breaks
  std::string wrong;   // why it counts as wrong; empty: it does not
};

struct ScoreTrackOptions {
  ChartFrame frame;
  std::string none;  // said where there is no point
};

// Points stand at equal distances, in the order given. Text never overlaps: names and reasons for
// which no free place is left are left out.
Chart score_track(const std::vector<ScorePoint>& points, const ScoreTrackOptions& options,
                  const TextMeasure& measure);

}  // namespace lastlook::analytics
