// SPDX-License-Identifier: Apache-2.0
#include "kiosk/reports/table_on_paper.h"

#include <algorithm>
#include <numeric>

namespace lastlook::reports {
namespace {

constexpr double largest_type = 9.5, smallest_type = 6, type_step = 0.5;
constexpr double between_columns = 9, above_and_below = 2;

struct RowStyle {
  int weight;
  double rule;  // below it
  std::uint32_t rule_colour;
};
constexpr RowStyle of_heading{600, 1.1, ink_colour}, of_row{400, 0.4, rule_colour};

using Row = std::vector<std::string>;

struct Column {
  double natural = 0;  // with each cell in one line
  double least = 0;    // with no word broken
  double width = 0;    // as it is set
};

class Setter {
 public:
  Setter(Type& type, const Table& table, double left, double width)
      : type_(type), table_(table), left_(left), width_(width) {
    for (double size = largest_type; size >= smallest_type; size -= type_step) {
      size_ = size;
      if (find_widths()) break;
    }
  }

  using Cells = std::vector<Lines>;

  double leading() const { return face(of_row.weight).leading(); }

  Cells set(const Row& row, const RowStyle& style) const {
    Cells cells;
    for (std::size_t i = 0; i < std::min(row.size(), columns_.size()); ++i)
      // What was just measured must not wrap for want of a rounding.
      cells.push_back(type_.set(row[i], face(style.weight), columns_[i].width + 0.05));
    return cells;
  }

  void draw_line(cairo_t* cairo, const Cells& cells, std::size_t line, double top) const {
    double left = left_;
    for (std::size_t i = 0; i < cells.size(); left += columns_[i++].width + between_columns) {
      const Lines& cell = cells[i];
      if (line >= cell.size()) continue;
      const double before = is_number(i) ? columns_[i].width - cell.width(line) : 0;
      cell.draw(cairo, line, left + before, top);
    }
  }

  void draw_rule(cairo_t* cairo, double bottom, const RowStyle& style) const {
    set_colour(cairo, style.rule_colour);
    cairo_rectangle(cairo, left_, bottom - style.rule, width_, style.rule);
    cairo_fill(cairo);
  }

 private:
  bool is_number(std::size_t column) const {
    return column < table_.align.size() && table_.align[column] == 'r';
  }
  Face face(int weight) const { return {size_, weight, ink_colour, true}; }
  double room() const {
    return width_ - between_columns * static_cast<double>(columns_.size() - 1);
  }

  // False: at this size some word has to be broken.
  bool find_widths() {
    columns_.assign(table_.heading.size(), {});
    measure(table_.heading, of_heading.weight);
    for (const Row& row : table_.rows) measure(row, of_row.weight);
    const double natural = sum(&Column::natural);
    if (natural <= room()) {
      share(&Column::natural, natural, room());
      return true;
    }
    // One word as long as a line is no reason to make the whole table small.
    for (Column& column : columns_) column.least = std::min(column.least, room() / 3);
    const double least = sum(&Column::least);
    if (least > room()) {
      share(&Column::least, least, room());
      return false;
    }
    for (Column& column : columns_)
      column.width = column.least + (column.natural - column.least) * (room() - least) /
                                        std::max(natural - least, 1.0);
    return true;
  }

  void measure(const Row& row, int weight) {
    for (std::size_t i = 0; i < std::min(row.size(), columns_.size()); ++i) {
      const double natural = type_.set(row[i], face(weight)).width();
      columns_[i].natural = std::max(columns_[i].natural, natural);
      if (natural <= columns_[i].least) continue;
      const bool in_one_line = weight == of_row.weight && (is_number(i) || i == 0);
      const double least = in_one_line ? natural : type_.widest_word(row[i], face(weight));
      columns_[i].least = std::max(columns_[i].least, least);
    }
  }

  double sum(double Column::*which) const {
    return std::accumulate(columns_.begin(), columns_.end(), 0.0,
                           [&](double so_far, const Column& one) { return so_far + one.*which; });
  }

  void share(double Column::*by, double all, double room) {
    for (Column& column : columns_) column.width = all > 0 ? column.*by * room / all : 0;
  }

  Type& type_;
  const Table& table_;
  double left_, width_, size_ = largest_type;
  std::vector<Column> columns_;
};

using SharedSetter = std::shared_ptr<const Setter>;

std::size_t lines_of(const Setter::Cells& cells) {
  std::size_t most = 1;
  for (const Lines& cell : cells) most = std::max(most, cell.size());
  return most;
}

// Set once to know its height and again to be drawn, so that of thousands of rows only one at a
// time is kept as type.
Piece whole(const SharedSetter& setter, const Row& row, const RowStyle& style) {
  const std::size_t lines = lines_of(setter->set(row, style));
  Piece piece;
  piece.height = static_cast<double>(lines) * setter->leading() + 2 * above_and_below;
  piece.draw = [setter, &row, style, lines, height = piece.height](cairo_t* cairo, double top) {
    const Setter::Cells cells = setter->set(row, style);
    for (std::size_t i = 0; i < lines; ++i)
      setter->draw_line(cairo, cells, i,
                        top + above_and_below + static_cast<double>(i) * setter->leading());
    setter->draw_rule(cairo, top + height, style);
  };
  return piece;
}

// A piece a line.
void slice(const SharedSetter& setter, const Row& row, std::vector<Piece>& to) {
  const auto cells = std::make_shared<const Setter::Cells>(setter->set(row, of_row));
  const std::size_t lines = lines_of(*cells);
  for (std::size_t i = 0; i < lines; ++i) {
    const bool last = i + 1 == lines;
    Piece piece;
    piece.gap = i == 0 ? above_and_below : 0;
    piece.height = setter->leading() + (last ? above_and_below : 0);
    piece.draw = [setter, cells, i, last, height = piece.height](cairo_t* cairo, double top) {
      setter->draw_line(cairo, *cells, i, top);
      if (last) setter->draw_rule(cairo, top + height, of_row);
    };
    to.push_back(std::move(piece));
  }
}

}  // namespace

std::vector<Piece> table_pieces(Type& type, const Table& table, double left, double width,
                                double page_height) {
  if (table.heading.empty()) return {};
  const auto setter = std::make_shared<const Setter>(type, table, left, width);
  const auto heading = std::make_shared<const Piece>(whole(setter, table.heading, of_heading));
  std::vector<Piece> rows;
  for (const Row& row : table.rows) {
    Piece piece = whole(setter, row, of_row);
    if (piece.height <= page_height / 3)
      rows.push_back(std::move(piece));
    else
      slice(setter, row, rows);
  }
  keep_ends_together(rows);
  if (heading->height < page_height / 4)
    for (Piece& row : rows) row.heading = heading;
  std::vector<Piece> all{*heading};
  all.front().keeps_next = !rows.empty();
  std::ranges::move(rows, std::back_inserter(all));
  return all;
}

}  // namespace lastlook::reports
