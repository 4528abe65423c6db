// SPDX-License-Identifier: Apache-2.0
#include "kiosk/reports/chart_on_paper.h"

#include <array>
#include <numbers>

#include "analytics/paper_ink.h"
#include "kiosk/reports/photograph.h"

namespace lastlook::reports {
namespace {

using namespace analytics;

constexpr double outline = 1.8;

class PaperPainter {
 public:
  PaperPainter(cairo_t* cairo, Type& type) : cairo_(cairo), type_(type) {}

  void operator()(const Line& line) {
    cairo_move_to(cairo_, line.from.x, line.from.y);
    cairo_line_to(cairo_, line.to.x, line.to.y);
    stroke(line.role, line.width, line.dashed);
  }

  void operator()(const Bar& bar) {
    cairo_rectangle(cairo_, bar.box.x, bar.box.y, bar.box.width, bar.box.height);
    fill(bar.role);
  }

  void operator()(const Polyline& line) {
    for (const Point& p : line.points) cairo_line_to(cairo_, p.x, p.y);
    stroke(line.role, line.width, line.dashed);
  }

  void operator()(const Symbol& symbol);

  // No wider than layout took it to be, whatever font its letters came from: then texts that were
  // laid out beside each other do not meet.
  void operator()(const Text& text) {
    const Face face{text.size, text.bold ? 700 : 400, paper_ink(text.role).text};
    const Lines set = type_.set(text.text, face);
    const double width = set.width();
    const double room = measure_.width(text.text, text.size, text.bold);
    const double squeezed = width > room && room > 0 ? room / width : 1;
    const double before = text.anchor == Anchor::start ? 0
                          : text.anchor == Anchor::end ? width * squeezed
                                                       : width * squeezed / 2;
    cairo_save(cairo_);
    cairo_translate(cairo_, text.at.x - before, text.at.y);
    cairo_scale(cairo_, squeezed, 1);
    set.draw_on(cairo_, 0, 0, 0);
    cairo_restore(cairo_);
  }

 private:
  void stroke(Role role, double width, bool dashed) {
    constexpr std::array dashes{6.0, 4.0};
    cairo_set_line_width(cairo_, width);
    cairo_set_dash(cairo_, dashes.data(), dashed ? 2 : 0, 0);
    set_colour(cairo_, paper_ink(role).shape);
    cairo_stroke(cairo_);
  }

  void fill(Role role) {
    set_colour(cairo_, paper_ink(role).shape);
    cairo_fill(cairo_);
  }

  void polygon(Role role, std::initializer_list<Point> corners) {
    for (const Point& p : corners) cairo_line_to(cairo_, p.x, p.y);
    cairo_close_path(cairo_);
    fill(role);
  }

  void circle(const Symbol& symbol, bool hollow) {
    cairo_new_sub_path(cairo_);
    cairo_arc(cairo_, symbol.centre.x, symbol.centre.y, symbol.size / 2, 0, 2 * std::numbers::pi);
    set_colour(cairo_, hollow ? 0xffffff : paper_ink(symbol.role).shape);
    cairo_fill_preserve(cairo_);
    stroke(symbol.role, outline, false);
  }

  cairo_t* cairo_;
  Type& type_;
  WideSansMeasure measure_;
};

void PaperPainter::operator()(const Symbol& symbol) {
  const double r = symbol.size / 2;
  const auto [x, y] = symbol.centre;
  switch (symbol.glyph) {
    case Glyph::dot:
      return circle(symbol, false);
    case Glyph::ring:
      return circle(symbol, true);
    case Glyph::square:
      return polygon(symbol.role, {{x - r, y - r}, {x + r, y - r}, {x + r, y + r}, {x - r, y + r}});
    case Glyph::diamond:
      return polygon(symbol.role, {{x, y - r}, {x + r, y}, {x, y + r}, {x - r, y}});
    case Glyph::triangle:
      return polygon(symbol.role, {{x, y - r}, {x + r, y + r}, {x - r, y + r}});
    case Glyph::cross:
      (*this)(Line{symbol.role, {x - r, y - r}, {x + r, y + r}, outline, false});
      (*this)(Line{symbol.role, {x - r, y + r}, {x + r, y - r}, outline, false});
  }
}

}  // namespace

void paint(cairo_t* cairo, Type& type, const Chart& chart, double left, double top, double scale) {
  cairo_save(cairo);
  cairo_translate(cairo, left, top);
  cairo_scale(cairo, scale, scale);
  if (chart.picture) paint_pale(cairo, *chart.picture);
  PaperPainter painter(cairo, type);
  for (const Mark& mark : chart.marks) std::visit(painter, mark);
  cairo_restore(cairo);
}

}  // namespace lastlook::reports
