// SPDX-License-Identifier: Apache-2.0
#include "analytics/svg.h"

#include <fmt/format.h>

#include <iterator>

#include "analytics/paper_ink.h"

namespace lastlook::analytics {
namespace {

struct Ink {
  std::string_view css_class;
  std::string shape;  // colour of lines and areas
  std::string text;
};

std::string_view class_of(Role role) {
  switch (role) {
    case Role::title:
      return "m-title";
    case Role::label:
      return "m-label";
    case Role::value:
      return "m-value";
    case Role::note:
      return "m-note";
    case Role::axis:
      return "m-axis";
    case Role::grid:
      return "m-grid";
    case Role::few:
      return "m-few";
    case Role::many:
      return "m-many";
    case Role::rest:
      return "m-rest";
    case Role::series:
      return "m-series";
    case Role::centre:
      return "m-centre";
    case Role::limit:
      return "m-limit";
    case Role::signal:
      return "m-signal";
    case Role::excluded:
      return "m-excluded";
    case Role::phase:
      return "m-phase";
    case Role::good:
      return "m-good";
    case Role::bad:
      return "m-bad";
  }
  return "m-label";
}

Ink ink_of(Role role) {
  const auto [shape, text] = paper_ink(role);
  return {class_of(role), fmt::format("#{:06x}", shape), fmt::format("#{:06x}", text)};
}

std::string escaped(std::string_view text) {
  std::string out;
  for (const char c : text) {
    switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '"':
        out += "&quot;";
        break;
      default:
        // XML 1.0 knows no control characters but these.
        if (static_cast<unsigned char>(c) >= 0x20 || c == '\t' || c == '\n') out += c;
    }
  }
  return out;
}

// At most two decimals, none where none are needed.
std::string number(double value) {
  std::string text = fmt::format("{:.2f}", value);
  while (text.back() == '0') text.pop_back();
  if (text.back() == '.') text.pop_back();
  return text == "-0" ? "0" : text;
}

std::string points(const std::vector<Point>& list) {
  std::string out;
  for (const Point& p : list) {
    if (!out.empty()) out += ' ';
    out += number(p.x) + ',' + number(p.y);
  }
  return out;
}

class SvgPainter {
 public:
  void operator()(const Line& line) {
    const Ink ink = ink_of(line.role);
    add(R"(<line class="{}" x1="{}" y1="{}" x2="{}" y2="{}" stroke="{}" stroke-width="{}"{}/>)",
        ink.css_class, number(line.from.x), number(line.from.y), number(line.to.x),
        number(line.to.y), ink.shape, number(line.width), dashes(line.dashed));
  }

  void operator()(const Bar& bar) {
    const Ink ink = ink_of(bar.role);
    add(R"(<rect class="{}" x="{}" y="{}" width="{}" height="{}" fill="{}"/>)", ink.css_class,
        number(bar.box.x), number(bar.box.y), number(bar.box.width), number(bar.box.height),
        ink.shape);
  }

  void operator()(const Polyline& line) {
    const Ink ink = ink_of(line.role);
    add(R"(<polyline class="{}" points="{}" fill="none" stroke="{}" stroke-width="{}"{}/>)",
        ink.css_class, points(line.points), ink.shape, number(line.width), dashes(line.dashed));
  }

  void operator()(const Symbol& symbol) {
    const double r = symbol.size / 2;
    const auto [x, y] = symbol.centre;
    switch (symbol.glyph) {
      case Glyph::dot:
        circle(symbol, false);
        break;
      case Glyph::ring:
        circle(symbol, true);
        break;
      case Glyph::square:
        polygon(symbol.role, {{x - r, y - r}, {x + r, y - r}, {x + r, y + r}, {x - r, y + r}});
        break;
      case Glyph::diamond:
        polygon(symbol.role, {{x, y - r}, {x + r, y}, {x, y + r}, {x - r, y}});
        break;
      case Glyph::triangle:
        polygon(symbol.role, {{x, y - r}, {x + r, y + r}, {x - r, y + r}});
        break;
      case Glyph::cross:
        (*this)(Line{symbol.role, {x - r, y - r}, {x + r, y + r}, 1.8, false});
        (*this)(Line{symbol.role, {x - r, y + r}, {x + r, y - r}, 1.8, false});
        break;
    }
  }

  void operator()(const Text& text) {
    const Ink ink = ink_of(text.role);
    const std::string_view anchor = text.anchor == Anchor::start ? "start"
                                    : text.anchor == Anchor::end ? "end"
                                                                 : "middle";
    add(R"(<text class="{}" x="{}" y="{}" text-anchor="{}" font-size="{}"{} fill="{}">{}</text>)",
        ink.css_class, number(text.at.x), number(text.at.y), anchor, number(text.size),
        text.bold ? R"( font-weight="bold")" : "", ink.text, escaped(text.text));
  }

  std::string take() { return std::move(out_); }

 private:
  template <class... Parts>
  void add(fmt::format_string<Parts...> format, Parts&&... parts) {
    fmt::format_to(std::back_inserter(out_), format, std::forward<Parts>(parts)...);
    out_ += '\n';
  }

  static std::string_view dashes(bool dashed) { return dashed ? R"( stroke-dasharray="6 4")" : ""; }

  void circle(const Symbol& symbol, bool hollow) {
    const Ink ink = ink_of(symbol.role);
    add(R"(<circle class="{}" cx="{}" cy="{}" r="{}" fill="{}" stroke="{}" stroke-width="1.8"/>)",
        ink.css_class, number(symbol.centre.x), number(symbol.centre.y), number(symbol.size / 2),
        hollow ? "#ffffff" : ink.shape, ink.shape);
  }

  void polygon(Role role, const std::vector<Point>& corners) {
    const Ink ink = ink_of(role);
    add(R"(<polygon class="{}" points="{}" fill="{}"/>)", ink.css_class, points(corners),
        ink.shape);
  }

  std::string out_;
};

std::string picture(const Chart& chart) {
  if (!chart.picture) return "";
  const Box& box = chart.picture->box;
  return fmt::format(
      "<image x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" opacity=\"0.35\" href=\"{}\"/>\n",
      number(box.x), number(box.y), number(box.width), number(box.height),
      escaped(chart.picture->data_uri));
}

}  // namespace

std::string_view svg_class(Role role) {
  return class_of(role);
}

std::string to_svg(const Chart& chart) {
  SvgPainter painter;
  for (const Mark& mark : chart.marks) std::visit(painter, mark);
  return fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {0} {1}\" width=\"{0}\" "
      "height=\"{1}\" role=\"img\" font-family=\"Inter, 'DejaVu Sans', Arial, sans-serif\">\n"
      "<title>{2}</title>\n<desc>{3}</desc>\n"
      "<rect width=\"{0}\" height=\"{1}\" fill=\"#ffffff\"/>\n{4}{5}</svg>\n",
      number(chart.width), number(chart.height), escaped(chart.title), escaped(chart.description),
      picture(chart), painter.take());
}

}  // namespace lastlook::analytics
