// SPDX-License-Identifier: Apache-2.0
#include "kiosk/reports/table_on_paper.h"

#include <algorithm>
#include <numeric>

namespace lastlook::reports {
namespace {

constexpr double largest_type = 9.5, smallest_type = 6, type_step = 0.5;
constexpr double between_columns = 9, above_and_below = 2;
constexpr double heading_rule = 1.1, row_rule = 0.4;

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

  // `page`: how long a page is.
  Piece heading() const { return whole(set(table_.heading, 600), heading_rule, ink_colour); }

  void add(const Row& row, double page, std::vector<Piece>& to) const {
    const Cells cells = set(row, 400);
    Piece piece = whole(cells, row_rule, rule_colour);
    if (piece.height <= page / 3)
      to.push_back(std::move(piece));
    else
      slice(cells, to);
  }

 private:
  using Cells = std::shared_ptr<const std::vector<Lines>>;

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
    measure(table_.heading, 600);
    for (const Row& row : table_.rows) measure(row, 400);
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
      const bool in_one_line = weight == 400 && (is_number(i) || i == 0);
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

  Cells set(const Row& row, int weight) const {
    std::vector<Lines> cells;
    for (std::size_t i = 0; i < std::min(row.size(), columns_.size()); ++i)
      // What was just measured must not wrap for want of a rounding.
      cells.push_back(type_.set(row[i], face(weight), columns_[i].width + 0.05));
    return std::make_shared<const std::vector<Lines>>(std::move(cells));
  }

  static std::size_t lines_of(const Cells& cells) {
    std::size_t most = 1;
    for (const Lines& cell : *cells) most = std::max(most, cell.size());
    return most;
  }

  void draw_line(cairo_t* cairo, const Cells& cells, std::size_t line, double top) const {
    double left = left_;
    for (std::size_t i = 0; i < cells->size(); left += columns_[i++].width + between_columns) {
      const Lines& cell = (*cells)[i];
      if (line >= cell.size()) continue;
      const double before = is_number(i) ? columns_[i].width - cell.width(line) : 0;
      cell.draw(cairo, line, left + before, top);
    }
  }

  void rule(cairo_t* cairo, double bottom, double thick, std::uint32_t colour) const {
    set_colour(cairo, colour);
    cairo_rectangle(cairo, left_, bottom - thick, width_, thick);
    cairo_fill(cairo);
  }

  Piece whole(const Cells& cells, double thick, std::uint32_t colour) const {
    const double leading = face(400).leading();
    const std::size_t lines = lines_of(cells);
    Piece piece;
    piece.height = static_cast<double>(lines) * leading + 2 * above_and_below;
    piece.draw = [row = *this, cells, lines, leading, thick, colour, height = piece.height](
                     cairo_t* cairo, double top) {
      for (std::size_t i = 0; i < lines; ++i)
        row.draw_line(cairo, cells, i, top + above_and_below + static_cast<double>(i) * leading);
      row.rule(cairo, top + height, thick, colour);
    };
    return piece;
  }

  void slice(const Cells& cells, std::vector<Piece>& to) const {
    const std::size_t lines = lines_of(cells);
    for (std::size_t i = 0; i < lines; ++i) {
      const bool last = i + 1 == lines;
      Piece piece;
      piece.gap = i == 0 ? above_and_below : 0;
      piece.height = face(400).leading() + (last ? above_and_below : 0);
      piece.draw = [row = *this, cells, i, last, height = piece.height](cairo_t* cairo,
                                                                        double top) {
        row.draw_line(cairo, cells, i, top);
        if (last) row.rule(cairo, top + height, row_rule, rule_colour);
      };
      to.push_back(std::move(piece));
    }
  }

  Type& type_;
  const Table& table_;
  double left_, width_, size_ = largest_type;
  std::vector<Column> columns_;
};

}  // namespace

std::vector<Piece> table_pieces(Type& type, const Table& table, double left, double width,
                                double page_height) {
  if (table.heading.empty()) return {};
  const Setter setter(type, table, left, width);
  const auto heading = std::make_shared<const Piece>(setter.heading());
  std::vector<Piece> rows;
  for (const auto& row : table.rows) setter.add(row, page_height, rows);
  keep_ends_together(rows);
  if (heading->height < page_height / 4)
    for (Piece& row : rows) row.heading = heading;
  std::vector<Piece> all{*heading};
  all.front().keeps_next = !rows.empty();
  std::ranges::move(rows, std::back_inserter(all));
  return all;
}

}  // namespace lastlook::reports
