// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "kiosk/screens/pager.h"
#include "kiosk/screens/screen.h"

namespace lastlook::screens {

// All components at once that one touch may answer: each cut out of the camera's picture, large
// enough to be judged. Those that the camera does not call right are asked one by one after it.
class TogetherScreen final : public Screen {
 public:
  void enter() override;
  void update(const Facts& facts) override;
  void draw(Canvas& canvas, const Facts& facts, Requests& out) override;

 private:
  struct Tile {
    std::size_t step = 0;
    std::string component, name;
    domain::Box box;
    bool right = false;  // as the camera says
  };

  void draw_tiles(Canvas& canvas, const Facts& facts, const Rect& area, Requests& out);
  void draw_tile(Canvas& canvas, const Facts& facts, const Tile& tile, Rect cell, Requests& out);
  void draw_zone(Canvas& canvas, const Facts& facts, Rect zone, Requests& out);

  std::vector<Tile> tiles_;
  std::vector<std::string> right_;  // components that the touch answers
  bool looked_at_ = false;          // the camera has said something of this unit
  bool parking_ = false;
};

}  // namespace lastlook::screens
