// SPDX-License-Identifier: Apache-2.0
// Where one page ends and the next begins.
#pragma once

#include <cairo.h>

#include <functional>
#include <memory>
#include <span>
#include <vector>

namespace lastlook::reports {

// What is never cut: a line of text, a row of a table, a chart.
struct Piece {
  double height = 0;
  double gap = 0;           // above it, except at the top of a page
  bool keeps_next = false;  // is on one page with the next, where a page has room for both
  std::function<void(cairo_t*, double top)> draw = {};
  // Set above it once more where it comes first on a page: the heading of its table.
  std::shared_ptr<const Piece> heading = {};
};

// Neither the first of them nor the last is alone on a page.
void keep_ends_together(std::span<Piece> pieces);

struct Placed {
  const Piece* piece;
  double top;
};
using Page = std::vector<Placed>;
// At least one page. Points into `pieces`.
std::vector<Page> paged(const std::vector<Piece>& pieces, double height);

}  // namespace lastlook::reports
