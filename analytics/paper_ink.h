// SPDX-License-Identifier: Apache-2.0
// What colour a role has on white paper, for all painters that draw on it. The roles differ in
// lightness as well as in hue, so that a grey print and every kind of colour vision read the same;
// text keeps 7:1 on white.
#pragma once

#include <cstdint>

#include "analytics/marks.h"

namespace lastlook::analytics {

struct PaperInk {
  std::uint32_t shape;  // 0xRRGGBB of lines and areas
  std::uint32_t text;
};
PaperInk paper_ink(Role role);

}  // namespace lastlook::analytics
