// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "kiosk/reports/document.h"
#include "kiosk/reports/pages.h"
#include "kiosk/reports/type.h"

namespace lastlook::reports {

// The heading and then a piece a row, from `left` on and `width` wide. Numbers and the first column
// stay in one line; where the others do not fit by words, the type is made smaller, and where that
// does not help, words are broken. A row that is longer than a third of the page may be cut between
// two lines.
std::vector<Piece> table_pieces(Type& type, const Table& table, double left, double width,
                                double page_height);

}  // namespace lastlook::reports
