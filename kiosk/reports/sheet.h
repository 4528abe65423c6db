// SPDX-License-Identifier: Apache-2.0
// A document in pieces, top to bottom, for sheets of a width.
#pragma once

#include <vector>

#include "kiosk/reports/document.h"
#include "kiosk/reports/pages.h"
#include "kiosk/reports/type.h"

namespace lastlook::reports {

// Points, all of them.
inline constexpr double mm = 72 / 25.4;

struct Sheet {
  double width, height;  // between the margins, above the running foot
};

// The pieces look into the document and use the type until they are drawn.
std::vector<Piece> pieces_of(const Document& document, Type& type, const Sheet& sheet);

}  // namespace lastlook::reports
