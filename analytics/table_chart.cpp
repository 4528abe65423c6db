// SPDX-License-Identifier: Apache-2.0
#include "analytics/table_chart.h"

#include <fmt/format.h>

#include <algorithm>

namespace lastlook::analytics {
namespace {

class TableLayout {
 public:
  TableLayout(const JudgementTable& table, const ChartFrame& frame, const TextMeasure& measure)
      : page_(frame, measure), table_(table) {
    for (std::size_t i = 0; i < table.words.size(); ++i)
      if (table.words.size() <= 2 || row_sum(i) > 0) rows_.push_back(i);
  }

  Chart lay_out(const std::string& title) {
    const double size = page_.text_size();
    top_ = page_.write_title(title) + 3.4 * size;
    double names = page_.width_of(table_.a, size, true);
    for (const std::string& word : table_.words)
      names = std::max(names, page_.width_of(word, size));
    left_ = page_.margin() + std::min(names, 0.3 * page_.width()) + size;
    const double bottom = page_.height() - page_.margin() - size - page_.footer_height(table_.says);
    const auto columns = static_cast<double>(table_.words.size());
    cell_w_ = std::min(12 * size, (page_.width() - page_.margin() - left_) / columns);
    cell_h_ =
        std::min(4 * size, (bottom - top_) / std::max(1.0, static_cast<double>(rows_.size())));
    draw_heads();
    for (std::size_t r = 0; r < rows_.size(); ++r)
      for (std::size_t c = 0; c < table_.words.size(); ++c) draw_cell(r, c);
    page_.write_footer(table_.says);
    return page_.finish(table_.says);
  }

 private:
  double row_sum(std::size_t row) const {
    double sum = 0;
    for (std::size_t c = 0; c < table_.counts.size(); ++c) sum += table_.counts(row, c);
    return sum;
  }

  void text(Role role, Point at, Anchor anchor, double size, bool bold, const std::string& words,
            double room) {
    page_.write({role, at, anchor, size, bold, page_.fit(words, room, size, bold)});
  }

  void draw_heads() {
    const double size = page_.text_size();
    const double room = left_ - page_.margin() - size;
    text(Role::label, {page_.margin(), top_ - 0.6 * size}, Anchor::start, size, true, table_.a,
         room);
    text(Role::label, {left_, top_ - 2.2 * size}, Anchor::start, size, true, table_.b,
         page_.width() - page_.margin() - left_);
    for (std::size_t c = 0; c < table_.words.size(); ++c)
      text(Role::label, {middle_of(c), top_ - 0.6 * size}, Anchor::middle, size, false,
           table_.words[c], cell_w_ - 0.5 * size);
    for (std::size_t r = 0; r < rows_.size(); ++r)
      text(Role::label,
           {page_.margin(), top_ + cell_h_ * (static_cast<double>(r) + 0.5) + 0.3 * size},
           Anchor::start, size, false, table_.words[rows_[r]], room);
  }

  double middle_of(std::size_t column) const {
    return left_ + cell_w_ * (static_cast<double>(column) + 0.5);
  }

  void draw_cell(std::size_t row, std::size_t column) {
    const double size = page_.text_size();
    const std::size_t category = rows_[row];
    const double x = left_ + cell_w_ * static_cast<double>(column);
    const double y = top_ + cell_h_ * static_cast<double>(row);
    const double count = table_.counts(category, column);
    const bool alike = category == column;
    if (alike) page_.add(Bar{Role::grid, {x, y, cell_w_, cell_h_}});
    outline({x, y, cell_w_, cell_h_});
    const bool more = table_.weighted.size() > 0 &&
                      table_.weighted(category, column) > count + 0.5 && cell_h_ > 3 * size;
    const double base = y + cell_h_ / 2 + (more ? 0.1 : 0.4) * size;
    const Role role = alike || count == 0 ? Role::value : Role::signal;
    text(role, {middle_of(column), base}, Anchor::middle, 1.2 * size, true,
         fmt::format("{:.0f}", count), cell_w_ - size);
    if (more)
      text(Role::note, {middle_of(column), base + 1.3 * size}, Anchor::middle, page_.small(), false,
           fmt::format("for {:.0f}", table_.weighted(category, column)), cell_w_ - size);
  }

  void outline(const Box& box) {
    const double right = box.x + box.width;
    const double bottom = box.y + box.height;
    for (const auto& [from, to] : {std::pair{Point{box.x, box.y}, Point{right, box.y}},
                                   {Point{right, box.y}, Point{right, bottom}},
                                   {Point{box.x, bottom}, Point{right, bottom}},
                                   {Point{box.x, box.y}, Point{box.x, bottom}}})
      page_.add(Line{Role::grid, from, to, 1, false});
  }

  Page page_;
  const JudgementTable& table_;
  std::vector<std::size_t> rows_;
  double top_ = 0;
  double left_ = 0;
  double cell_w_ = 0;
  double cell_h_ = 0;
};

}  // namespace

Chart judgement_table_chart(const JudgementTable& table, const ChartFrame& frame,
                            const TextMeasure& measure) {
  return TableLayout(table, frame, measure).lay_out(frame.title);
}

}  // namespace lastlook::analytics
