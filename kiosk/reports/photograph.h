// SPDX-License-Identifier: Apache-2.0
// The photograph under a chart, on paper.
#pragma once

#include <cairo.h>

#include "analytics/marks.h"

namespace lastlook::reports {

// A JPEG goes into the file as it is, a PNG is unpacked. What is neither leaves its box empty: the
// marks on it are the chart.
void paint_pale(cairo_t* cairo, const analytics::Picture& picture);

}  // namespace lastlook::reports
