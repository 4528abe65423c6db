// SPDX-License-Identifier: Apache-2.0
#include "analytics/comparison_chart.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace lastlook::analytics {
namespace {

constexpr double kRowHeight = 1.8;  // of the text size

double percent_of(const Share& s) {
  return 100 * static_cast<double>(s.hits) / static_cast<double>(s.units);
}

std::string shares(const Difference& row) {
  return fmt::format("{:.1f} % to {:.1f} %", percent_of(row.before), percent_of(row.after));
}

class ComparisonLayout {
 public:
  ComparisonLayout(const std::vector<Difference>& rows, const ComparisonChartOptions& options,
                   const TextMeasure& measure)
      : page_(options.frame, measure), options_(options), rows_(by_weight(rows)) {}

  Chart lay_out() {
    top_ = page_.write_title(options_.frame.title);
    all_ = rows_.size();
    bottom_ =
        page_.height() - page_.margin() - 2.3 * page_.small() - page_.footer_height(footer(all_));
    const double row_height = kRowHeight * page_.text_size();
    const auto fitting = static_cast<std::size_t>(std::max(1.0, (bottom_ - top_) / row_height));
    rows_.resize(std::min(all_, fitting));
    bottom_ = top_ + row_height * static_cast<double>(rows_.size());
    find_columns();
    find_scale();
    draw_scale();
    for (std::size_t i = 0; i < rows_.size(); ++i) draw_row(i);
    page_.write_footer(footer(all_ - rows_.size()));
    return page_.finish(description());
  }

 private:
  void find_columns() {
    const double size = page_.text_size();
    const double usable = page_.width() - 2 * page_.margin();
    double names = 0;
    double words = 0;
    for (const Difference& row : rows_) {
      names = std::max(names, page_.width_of(row.name, size, row.changed));
      words = std::max(words, page_.width_of(shares(row), page_.small()));
    }
    names_ = std::min(names, 0.36 * usable);
    with_shares_ = usable - names_ - words - 2 * size >= 0.3 * usable;
    left_ = page_.margin() + names_ + size;
    right_ = page_.width() - page_.margin() - (with_shares_ ? words + size : 0);
  }

  void find_scale() {
    double low = -0.01;
    double high = 0.01;
    for (const Difference& row : rows_) {
      low = std::min(low, row.limits ? row.limits->low : row.value);
      high = std::max(high, row.limits ? row.limits->high : row.value);
    }
    const int wanted = std::clamp(
        static_cast<int>((right_ - left_) / page_.width_of("+100 points", page_.small())), 2, 7);
    ticks_ = round_steps(100 * low, 100 * high, wanted);
  }

  double x_of(double difference) const {
    const double span = ticks_.back() - ticks_.front();
    return left_ + (right_ - left_) * (100 * difference - ticks_.front()) / span;
  }
  double y_of(std::size_t row) const {
    return top_ + kRowHeight * page_.text_size() * (static_cast<double>(row) + 0.5);
  }

  void draw_scale() {
    const double size = page_.small();
    for (const double tick : ticks_) {
      const double x = x_of(tick / 100);
      page_.add(Line{Role::grid, {x, top_}, {x, bottom_}, 1, false});
      page_.try_write({Role::axis,
                       {x, bottom_ + 1.3 * size},
                       Anchor::middle,
                       size,
                       false,
                       tick == 0 ? "0" : fmt::format("{:+g}", tick)});
    }
    page_.add(Line{Role::centre, {x_of(0), top_}, {x_of(0), bottom_}, 1.5, false});
  }

  void draw_row(std::size_t index) {
    const Difference& row = rows_[index];
    const double size = page_.text_size();
    const double y = y_of(index);
    page_.write({row.changed ? Role::title : Role::label,
                 {page_.margin() + names_, y + 0.33 * size},
                 Anchor::end,
                 size,
                 row.changed,
                 page_.fit(row.name, names_, size, row.changed)});
    const Role role = row.changed ? Role::signal : Role::series;
    if (row.limits) {
      page_.add(Line{role, {x_of(row.limits->low), y}, {x_of(row.limits->high), y}, 2, false});
    }
    page_.add(Symbol{role,
                     row.changed ? Glyph::diamond : Glyph::dot,
                     {x_of(row.value), y},
                     (row.changed ? 0.8 : 0.5) * size});
    if (with_shares_) {
      page_.write({Role::value,
                   {page_.width() - page_.margin(), y + 0.33 * size},
                   Anchor::end,
                   page_.small(),
                   false,
                   shares(row)});
    }
  }

  std::string footer(std::size_t left_out) const {
    const std::string text = "change in percent points with 95 % limits; " + options_.rule;
    if (left_out == 0) return text;
    return fmt::format("{} more do not fit here; ", left_out) + text;
  }

  std::string description() const {
    const auto changed =
        std::count_if(rows_.begin(), rows_.end(), [](const Difference& r) { return r.changed; });
    return fmt::format("{} of {} cells changed.", changed, all_);
  }

  Page page_;
  const ComparisonChartOptions& options_;
  std::vector<Difference> rows_;
  std::vector<double> ticks_;
  std::size_t all_ = 0;
  double top_ = 0;
  double bottom_ = 0;
  double left_ = 0;
  double right_ = 0;
  double names_ = 0;
  bool with_shares_ = true;
};

}  // namespace

std::vector<Difference> by_weight(std::vector<Difference> rows) {
  std::stable_sort(rows.begin(), rows.end(), [](const Difference& a, const Difference& b) {
    return a.changed != b.changed ? a.changed : std::abs(a.value) > std::abs(b.value);
  });
  return rows;
}

Chart comparison_chart(const std::vector<Difference>& rows, const ComparisonChartOptions& options,
                       const TextMeasure& measure) {
  return ComparisonLayout(rows, options, measure).lay_out();
}

}  // namespace lastlook::analytics
