// SPDX-License-Identifier: Apache-2.0
// What a component's pictures show and prove.
#pragma once

#include <vector>

#include "vision/lesson.h"
#include "vision/teach.h"

namespace lastlook::vision {

ComponentReport report_on(const TeachingFolder& folder, std::size_t component,
                          const std::vector<HeldOut>& held_out, const TaughtComponent& taught);

}  // namespace lastlook::vision
