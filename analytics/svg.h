// SPDX-License-Identifier: Apache-2.0
// Paints marks as one self-contained SVG element: no scripts, no fonts or pictures from elsewhere.
#pragma once

#include <string>

#include "analytics/marks.h"

namespace lastlook::analytics {

// Colours are plain attributes (paper_ink.h), which every renderer reads and any style sheet of a
// page may rule over: each element has the class "m-" and its role ("m-signal").
std::string to_svg(const Chart& chart);

// "m-signal" for Role::signal.
std::string_view svg_class(Role role);

}  // namespace lastlook::analytics
