// SPDX-License-Identifier: Apache-2.0
// Teaching one question about one component: from sights that are 'yes' and sights that are not to
// a judge whose every number was chosen on sights held out.
#pragma once

#include <cstddef>
#include <vector>

#include "vision/examples.h"
#include "vision/taught.h"

namespace lastlook::vision {

struct Lesson {
  const Sight* sight = nullptr;
  bool yes = false;
};

struct HeldOut {
  const Sight* sight = nullptr;
  bool yes = false;
  Evidence evidence;         // by a judge not taught on this sight's light
  double probability = 0.5;  // by the final weights
};

struct Learned {
  Question question;
  std::vector<HeldOut> held_out;
};

// components: of the unit, which share its bounds. Errors: bad_input (no 'yes' or no 'no').
Result<Learned> learn(const std::vector<Lesson>& lessons, const PatchFrame& frame,
                      std::size_t components);

}  // namespace lastlook::vision
