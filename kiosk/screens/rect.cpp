// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/rect.h"

namespace lastlook::screens {

Rect Rect::cut_top(float height, float gap) {
  height = std::min(height, h);
  const Rect strip{x, y, w, height};
  const float used = std::min(h, height + gap);
  y += used;
  h -= used;
  return strip;
}

Rect Rect::cut_bottom(float height, float gap) {
  height = std::min(height, h);
  const Rect strip{x, bottom() - height, w, height};
  h -= std::min(h, height + gap);
  return strip;
}

Rect Rect::cut_left(float width, float gap) {
  width = std::min(width, w);
  const Rect strip{x, y, width, h};
  const float used = std::min(w, width + gap);
  x += used;
  w -= used;
  return strip;
}

Rect Rect::cut_right(float width, float gap) {
  width = std::min(width, w);
  const Rect strip{right() - width, y, width, h};
  w -= std::min(w, width + gap);
  return strip;
}

std::vector<Rect> cells(const Rect& area, int columns, int rows, float gap) {
  std::vector<Rect> out;
  const float w = (area.w - gap * static_cast<float>(columns - 1)) / static_cast<float>(columns);
  const float h = (area.h - gap * static_cast<float>(rows - 1)) / static_cast<float>(rows);
  for (int row = 0; row < rows; ++row)
    for (int column = 0; column < columns; ++column)
      out.push_back({area.x + static_cast<float>(column) * (w + gap),
                     area.y + static_cast<float>(row) * (h + gap), w, h});
  return out;
}

Rect fitted(const Rect& area, float aspect) {
  const float w = std::min(area.w, area.h * aspect);
  const float h = w / aspect;
  return {area.x + (area.w - w) / 2, area.y + (area.h - h) / 2, w, h};
}

}  // namespace lastlook::screens
