// SPDX-License-Identifier: Apache-2.0
// How long to wait before the next try.
#pragma once

#include <chrono>

namespace lastlook::sync {

// After so many failures in a row (from 1): twice as long each time, from 5 s to 10 min. `chance`,
// 0 to 1, spreads it by a fifth to either side, so that a hundred stations do not all knock at the
// moment the network is back.
std::chrono::milliseconds wait_after(int failures, double chance);

}  // namespace lastlook::sync
