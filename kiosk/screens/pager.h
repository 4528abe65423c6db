// SPDX-License-Identifier: Apache-2.0
// A grid of tiles in pages: where they do not all fit at a size that a finger can hit, the last
// cell turns the page. (Dragging to scroll is nothing for gloves.)
#pragma once

#include <functional>

#include "kiosk/screens/canvas.h"
#include "kiosk/text/strings.h"

namespace lastlook::screens {

class Pager {
 public:
  void reset() { first_ = 0; }
  // Calls `tile(index, cell)` for each one on the page. Cells are at least `least_h_px` high, and
  // at most `most_h_px`.
  void draw(Canvas& canvas, const text::Strings& say, std::string_view key, const Rect& area,
            std::size_t count, int columns, float least_h_px, float most_h_px,
            const std::function<void(std::size_t, const Rect&)>& tile);

 private:
  std::size_t first_ = 0;
};

}  // namespace lastlook::screens
