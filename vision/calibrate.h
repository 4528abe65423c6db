// SPDX-License-Identifier: Apache-2.0
// From held-out scores to a probability, to the two thresholds, and to what they prove.
#pragma once

#include <cstddef>
#include <vector>

#include "vision/taught.h"
#include "vision/teach.h"

namespace lastlook::vision {

struct HeldOut {
  double score = 0;
  bool yes = false;  // the truth
  bool made_up = false;
  bool disturbed = false;
  std::size_t picture = 0;
};

// Sets slope, offset (Platt's method with his targets, 1999) and the thresholds.
void calibrate(Question& question, const std::vector<HeldOut>& held_out);

ComponentReport report_on(const TeachingFolder& folder, std::size_t component,
                          const std::vector<HeldOut>& held_out);

}  // namespace lastlook::vision
