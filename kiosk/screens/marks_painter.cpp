// SPDX-License-Identifier: Apache-2.0
#include "kiosk/screens/marks_painter.h"

#include <cfloat>
#include <cmath>

namespace lastlook::screens {
namespace {

using namespace analytics;

// The type nearest above the size, so that it is made smaller rather than larger.
ImFont& font_for(const Fonts& fonts, double size, bool bold) {
  if (bold || size > fonts.text->FontSize + 1) return *fonts.strong;
  return *fonts.text;
}

class ScreenPainter {
 public:
  ScreenPainter(Canvas& canvas, Spot at) : canvas_(canvas), list_(canvas.list()), at_(at) {}

  void operator()(const Line& line) const {
    stroke({line.from, line.to}, line.width, line.dashed, ink(line.role));
  }

  void operator()(const Bar& bar) const {
    const ImVec2 from = to({bar.box.x, bar.box.y});
    list_.AddRectFilled(
        from,
        {from.x + static_cast<float>(bar.box.width), from.y + static_cast<float>(bar.box.height)},
        ink(bar.role), 3);
  }

  void operator()(const Polyline& line) const {
    stroke(line.points, line.width, line.dashed, ink(line.role));
  }

  void operator()(const Symbol& symbol) const;

  void operator()(const Text& text) const {
    ImFont& font = font_for(canvas_.fonts(), text.size, text.bold);
    const auto size = static_cast<float>(text.size);
    const char* begin = text.text.data();
    const char* end = begin + text.text.size();
    ImVec2 at = to(text.at);
    const float width = font.CalcTextSizeA(size, FLT_MAX, 0, begin, end).x;
    if (text.anchor == Anchor::middle) at.x -= width / 2;
    if (text.anchor == Anchor::end) at.x -= width;
    // A mark's place is on the base line, the toolkit's at the top of the type.
    at.y -= font.Ascent * size / font.FontSize;
    list_.AddText(&font, size, {std::round(at.x), std::round(at.y)},
                  canvas_.colour(pair_of(say_of(text.role)).text), begin, end);
  }

 private:
  ImVec2 to(Point p) const {
    return {at_.x + static_cast<float>(p.x), at_.y + static_cast<float>(p.y)};
  }
  ImU32 ink(Role role) const { return canvas_.colour(ink_of(role)); }

  void stroke(const std::vector<Point>& points, double width, bool dashed, ImU32 ink) const {
    for (std::size_t i = 1; i < points.size(); ++i)
      segment(to(points[i - 1]), to(points[i]), static_cast<float>(width), dashed, ink);
  }

  void segment(ImVec2 from, ImVec2 to, float width, bool dashed, ImU32 ink) const {
    if (!dashed) return list_.AddLine(from, to, ink, width);
    const float dx = to.x - from.x, dy = to.y - from.y, length = std::hypot(dx, dy);
    for (float along = 0; along < length; along += 10) {
      const float end = std::min(along + 6, length);
      list_.AddLine({from.x + dx * along / length, from.y + dy * along / length},
                    {from.x + dx * end / length, from.y + dy * end / length}, ink, width);
    }
  }

  Canvas& canvas_;
  ImDrawList& list_;
  Spot at_;
};

void ScreenPainter::operator()(const Symbol& symbol) const {
  const ImVec2 c = to(symbol.centre);
  const auto r = static_cast<float>(symbol.size / 2);
  const ImU32 colour = ink(symbol.role);
  switch (symbol.glyph) {
    case Glyph::dot:
      return list_.AddCircleFilled(c, r, colour);
    case Glyph::ring:
      return list_.AddCircle(c, r, colour, 0, 2);
    case Glyph::square:
      return list_.AddRectFilled({c.x - r, c.y - r}, {c.x + r, c.y + r}, colour);
    case Glyph::diamond:
      return list_.AddQuadFilled({c.x, c.y - r}, {c.x + r, c.y}, {c.x, c.y + r}, {c.x - r, c.y},
                                 colour);
    case Glyph::triangle:
      return list_.AddTriangleFilled({c.x, c.y - r}, {c.x + r, c.y + r}, {c.x - r, c.y + r},
                                     colour);
    case Glyph::cross:
      list_.AddLine({c.x - r, c.y - r}, {c.x + r, c.y + r}, colour, 2);
      return list_.AddLine({c.x - r, c.y + r}, {c.x + r, c.y - r}, colour, 2);
  }
}

}  // namespace

double FontMeasure::width(std::string_view text, double size, bool bold) const {
  const ImFont& font = font_for(fonts_, size, bold);
  return font
      .CalcTextSizeA(static_cast<float>(size), FLT_MAX, 0, text.data(), text.data() + text.size())
      .x;
}

void paint(Canvas& canvas, const Chart& chart, Spot at) {
  const ScreenPainter painter(canvas, at);
  for (const Mark& mark : chart.marks) std::visit(painter, mark);
}

}  // namespace lastlook::screens
