// SPDX-License-Identifier: Apache-2.0
// How much right ones differ among themselves under one light: a screw stands at any turn, a label
// carries another number, a part has play. A made-up fault that differs no more is none.
#pragma once

#include <vector>

#include "vision/examples.h"

namespace lastlook::vision {

// Of one component: takes away made-up faults that differ from right ones of the same variant and
// light by no more than these do from each other. Without two right ones of a kind all stay.
void drop_likely_right(std::vector<Sight>& sights, const PatchFrame& frame);

}  // namespace lastlook::vision
