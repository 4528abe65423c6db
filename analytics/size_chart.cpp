// SPDX-License-Identifier: Apache-2.0
#include "analytics/size_chart.h"

#include <fmt/format.h>

#include <algorithm>

namespace lastlook::analytics {
namespace {

constexpr double kRowHeight = 2.2;  // of the text size

class SizeLayout {
 public:
  SizeLayout(const std::vector<PlannedSize>& sizes, const std::string& footnote,
             const ChartFrame& frame, const TextMeasure& measure)
      : page_(frame, measure), title_(frame.title), footnote_(footnote), rows_(sizes) {}

  Chart lay_out() {
    const double top = page_.write_title(title_);
    const double room = page_.height() - page_.margin() - page_.footer_height(footer(1)) - top;
    row_height_ = kRowHeight * page_.text_size();
    const std::size_t all = rows_.size();
    rows_.resize(std::min(all, static_cast<std::size_t>(std::max(1.0, room / row_height_))));
    find_columns();
    for (std::size_t i = 0; i < rows_.size(); ++i)
      draw_row(rows_[i], top + row_height_ * static_cast<double>(i));
    page_.write_footer(footer(all - rows_.size()));
    return page_.finish(description());
  }

 private:
  void find_columns() {
    const double usable = page_.width() - 2 * page_.margin();
    double numbers = 0;
    for (const PlannedSize& row : rows_) {
      names_ = std::max(names_, page_.width_of(row.plan, page_.text_size(), row.asked));
      numbers = std::max(numbers, page_.width_of(number(row), page_.text_size(), row.asked));
      most_ = std::max(most_, static_cast<double>(row.units));
    }
    names_ = std::min(names_, usable / 3);
    longest_ = std::max(page_.text_size(), usable - names_ - numbers - 2 * page_.text_size());
  }

  static std::string number(const PlannedSize& row) { return std::to_string(row.units); }

  void draw_row(const PlannedSize& row, double y) {
    const double size = page_.text_size();
    const double baseline = y + row_height_ / 2 + 0.33 * size;
    const double from = page_.margin() + names_ + size;
    const double length = longest_ * static_cast<double>(row.units) / most_;
    page_.write({row.asked ? Role::title : Role::label,
                 {page_.margin() + names_, baseline},
                 Anchor::end,
                 size,
                 row.asked,
                 page_.fit(row.plan, names_, size, row.asked)});
    page_.add(Bar{row.asked ? Role::few : Role::many,
                  {from, y + 0.2 * row_height_, length, 0.6 * row_height_}});
    page_.write({Role::value,
                 {from + length + 0.5 * size, baseline},
                 Anchor::start,
                 size,
                 row.asked,
                 number(row)});
  }

  std::string footer(std::size_t left_out) const {
    return left_out == 0 ? footnote_
                         : fmt::format("{} more do not fit here; {}", left_out, footnote_);
  }

  std::string description() const {
    for (const PlannedSize& row : rows_)
      if (row.asked) return fmt::format("{}: {} units.", row.plan, row.units);
    return footnote_ + ".";
  }

  Page page_;
  const std::string& title_;
  const std::string& footnote_;
  std::vector<PlannedSize> rows_;
  double names_ = 0;
  double longest_ = 0;
  double most_ = 1;
  double row_height_ = 0;
};

}  // namespace

Chart size_chart(const std::vector<PlannedSize>& sizes, const std::string& footnote,
                 const ChartFrame& frame, const TextMeasure& measure) {
  return SizeLayout(sizes, footnote, frame, measure).lay_out();
}

}  // namespace lastlook::analytics
