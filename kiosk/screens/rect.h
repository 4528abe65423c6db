// SPDX-License-Identifier: Apache-2.0
// Rectangles in pixels of the window, and cutting them up: all the geometry that a screen needs.
#pragma once

#include <algorithm>
#include <vector>

namespace lastlook::screens {

struct Spot {
  float x = 0, y = 0;
};

struct Rect {
  float x = 0, y = 0, w = 0, h = 0;

  float right() const { return x + w; }
  float bottom() const { return y + h; }
  Spot centre() const { return {x + w / 2, y + h / 2}; }
  bool contains(Spot at) const {
    return at.x >= x && at.x < right() && at.y >= y && at.y < bottom();
  }
  Rect inside(float margin) const { return inside(margin, margin); }
  Rect inside(float across, float down) const {
    return {x + across, y + down, std::max(0.0F, w - 2 * across), std::max(0.0F, h - 2 * down)};
  }

  // Cuts a strip off one side and keeps what is left, less a gap.
  Rect cut_top(float height, float gap = 0);
  Rect cut_bottom(float height, float gap = 0);
  Rect cut_left(float width, float gap = 0);
  Rect cut_right(float width, float gap = 0);
};

// Equal cells, row by row.
std::vector<Rect> cells(const Rect& area, int columns, int rows, float gap);

// The largest rectangle of this width to height in the middle of the area.
Rect fitted(const Rect& area, float aspect);

// A box given as fractions of a picture, where the picture is drawn.
template <class Fractions>
Rect on(const Rect& picture, const Fractions& box) {
  return {picture.x + static_cast<float>(box.x) * picture.w,
          picture.y + static_cast<float>(box.y) * picture.h, static_cast<float>(box.w) * picture.w,
          static_cast<float>(box.h) * picture.h};
}

}  // namespace lastlook::screens
