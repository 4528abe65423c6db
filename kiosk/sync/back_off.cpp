// SPDX-License-Identifier: Apache-2.0
#include "kiosk/sync/back_off.h"

#include <algorithm>
#include <cmath>

namespace lastlook::sync {

std::chrono::milliseconds wait_after(int failures, double chance) {
  constexpr double first_ms = 5'000, longest_ms = 600'000, spread = 0.2;
  const double plain = std::min(longest_ms, first_ms * std::exp2(std::clamp(failures, 1, 30) - 1));
  const double factor = 1 + spread * (2 * std::clamp(chance, 0.0, 1.0) - 1);
  return std::chrono::milliseconds(std::llround(plain * factor));
}

}  // namespace lastlook::sync
