// SPDX-License-Identifier: Apache-2.0
#include "kiosk/reports/sheet.h"

#include <algorithm>

#include "kiosk/reports/chart_on_paper.h"
#include "kiosk/reports/table_on_paper.h"

namespace lastlook::reports {
namespace {

constexpr double indent = 7 * mm, chart_indent = 4 * mm, list_indent = 4 * mm;
// A pixel of a chart is at most as large as on a screen.
constexpr double largest_pixel = 0.75;

class Flow {
 public:
  Flow(Type& type, const Sheet& sheet) : type_(type), sheet_(sheet) {}

  std::vector<Piece> take(const Document& document) {
    head(document);
    for (const Block& block : document.blocks) std::visit(*this, block);
    foot(document);
    return std::move(pieces_);
  }

  void operator()(const Heading& heading) {
    const Face face{13, 600, ink_colour};
    const Lines number = type_.set(std::to_string(heading.nth), {13, 600, accent_colour});
    const std::size_t first = pieces_.size();
    add_lines(type_.set(heading.text, face, sheet_.width - indent), indent, 6 * mm);
    also_draw(pieces_[first],
              [number](cairo_t* cairo, double top) { number.draw(cairo, 0, 0, top); });
    for (std::size_t i = first; i < pieces_.size(); ++i) pieces_[i].keeps_next = true;
  }

  void operator()(const Paragraph& paragraph) {
    if (paragraph.tone == Tone::more)
      return add_lines(type_.set(paragraph.text, {9.5, 400, quiet_colour}, sheet_.width - indent),
                       indent, 2 * mm);
    if (paragraph.tone == Tone::answer)
      return add_lines(type_.set(paragraph.text, {10.5, 600, ink_colour}, sheet_.width - indent),
                       indent, 1 * mm);
    const Face face{10.5, 600, alert_text_colour};
    const double sign = 1.2 * face.size;
    const std::size_t first = pieces_.size();
    add_lines(type_.set(paragraph.text, face, sheet_.width - indent - sign), indent + sign, 1 * mm);
    also_draw(pieces_[first], [face](cairo_t* cairo, double top) { triangle(cairo, face, top); });
  }

  void operator()(const Figures& figures) {
    constexpr std::size_t across = 4;
    for (std::size_t i = 0; i < figures.size(); i += across)
      add_figures(
          {figures.begin() + static_cast<std::ptrdiff_t>(i),
           figures.begin() + static_cast<std::ptrdiff_t>(std::min(i + across, figures.size()))});
  }

  void operator()(const Table& table) {
    std::vector<Piece> rows =
        table_pieces(type_, table, indent, sheet_.width - indent, sheet_.height);
    if (rows.empty()) return;
    rows.front().gap = 2 * mm;
    // The sentence above it says what it lists.
    if (!pieces_.empty()) pieces_.back().keeps_next = true;
    std::ranges::move(rows, std::back_inserter(pieces_));
  }

  void operator()(const List& list) {
    const Face face{10.5};
    for (const std::string& item : list.items) {
      const std::size_t first = pieces_.size();
      add_lines(type_.set(item, face, sheet_.width - indent - list_indent), indent + list_indent,
                0.8 * mm);
      also_draw(pieces_[first], [dot = type_.set("•", face)](cairo_t* cairo, double top) {
        dot.draw(cairo, 0, indent, top);
      });
    }
  }

  void operator()(const analytics::Chart& chart) {
    if (chart.width <= 0 || chart.height <= 0) return;
    const double scale = std::min(
        {(sheet_.width - chart_indent) / chart.width, sheet_.height / chart.height, largest_pixel});
    Piece piece;
    piece.height = chart.height * scale;
    piece.gap = 2 * mm;
    piece.draw = [this_type = &type_, &chart, scale](cairo_t* cairo, double top) {
      paint(cairo, *this_type, chart, chart_indent, top, scale);
    };
    pieces_.push_back(std::move(piece));
  }

 private:
  void head(const Document& document) {
    const Face quiet{10.5, 400, quiet_colour};
    if (!document.kind.empty()) add_lines(type_.set(document.kind, quiet, sheet_.width), 0, 0);
    add_lines(type_.set(document.title, {21, 700, ink_colour}, sheet_.width), 0, 0);
    if (!document.place.empty()) add_lines(type_.set(document.place, quiet, sheet_.width), 0, 0);
    add_rule(3 * mm, 1.2 * mm);
    for (Piece& piece : pieces_) piece.keeps_next = true;
  }

  void foot(const Document& document) {
    if (document.foot.empty()) return;
    const std::size_t first = pieces_.size();
    add_rule(5 * mm, 0.3 * mm);
    for (const std::string& line : document.foot)
      add_lines(type_.set(line, {8, 400, quiet_colour}, sheet_.width), 0, 0.5 * mm);
    for (std::size_t i = first; i + 1 < pieces_.size(); ++i) pieces_[i].keeps_next = true;
  }

  void add_rule(double gap, double thick) {
    Piece piece;
    piece.height = thick;
    piece.gap = gap;
    piece.draw = [width = sheet_.width, thick](cairo_t* cairo, double top) {
      set_colour(cairo, ink_colour);
      cairo_rectangle(cairo, 0, top, width, thick);
      cairo_fill(cairo);
    };
    pieces_.push_back(std::move(piece));
  }

  // A piece a line.
  void add_lines(const Lines& lines, double left, double gap) {
    const std::size_t first = pieces_.size();
    for (std::size_t i = 0; i < lines.size(); ++i) {
      Piece piece;
      piece.height = lines.face().leading();
      piece.gap = i == 0 ? gap : 0;
      piece.draw = [lines, i, left](cairo_t* cairo, double top) {
        lines.draw(cairo, i, left, top);
      };
      pieces_.push_back(std::move(piece));
    }
    keep_ends_together(std::span(pieces_).subspan(first));
  }

  static void also_draw(Piece& piece, std::function<void(cairo_t*, double)> more) {
    piece.draw = [first = std::move(piece.draw), second = std::move(more)](cairo_t* cairo,
                                                                           double top) {
      first(cairo, top);
      second(cairo, top);
    };
  }

  static void triangle(cairo_t* cairo, const Face& face, double top) {
    const double size = 0.72 * face.size, foot = top + face.leading() / 2 + size / 2;
    set_colour(cairo, face.colour);
    cairo_move_to(cairo, indent, foot);
    cairo_line_to(cairo, indent + size, foot);
    cairo_line_to(cairo, indent + size / 2, foot - size);
    cairo_close_path(cairo);
    cairo_fill(cairo);
  }

  void add_figures(const Figures& figures);

  Type& type_;
  Sheet sheet_;
  std::vector<Piece> pieces_;
};

// Side by side, each with a bar at its left.
void Flow::add_figures(const Figures& figures) {
  constexpr double gap = 4 * mm, bar = 0.8 * mm, text_left = 3.8 * mm;
  const double wide = (sheet_.width - 3 * gap) / 4;
  const Face small{9, 400, quiet_colour};
  Piece piece;
  std::vector<std::array<Lines, 3>> texts;
  for (const Figure& one : figures) {
    const double room = wide - text_left;
    texts.push_back({type_.set(one.value, {19, 700, ink_colour, true}, room),
                     type_.set(one.what, small, room), type_.set(one.more, small, room)});
    double height = 0;
    for (const Lines& lines : texts.back()) height += lines.height();
    piece.height = std::max(piece.height, height);
  }
  piece.gap = 5 * mm;
  piece.draw = [figures, texts, wide, height = piece.height](cairo_t* cairo, double top) {
    for (std::size_t i = 0; i < figures.size(); ++i) {
      const double left = static_cast<double>(i) * (wide + gap);
      set_colour(cairo, figures[i].alert ? alert_colour : accent_colour);
      cairo_rectangle(cairo, left, top, bar, height);
      cairo_fill(cairo);
      double down = top;
      for (const Lines& lines : texts[i]) {
        lines.draw_all(cairo, left + text_left, down);
        down += lines.height();
      }
    }
  };
  pieces_.push_back(std::move(piece));
}

}  // namespace

std::vector<Piece> pieces_of(const Document& document, Type& type, const Sheet& sheet) {
  return Flow(type, sheet).take(document);
}

}  // namespace lastlook::reports
