// SPDX-License-Identifier: Apache-2.0
#include "analytics/pareto_chart.h"

#include <fmt/format.h>

#include <algorithm>

namespace lastlook::analytics {
namespace {

constexpr double kRowHeight = 2.0;  // of the text size, at the least
constexpr double kMostRowHeight = 3.2;

std::string percent(double value) {
  // One decimal, but never "100.0 %" for what is a little less, nor "0.0 %" for what is there.
  if (value > 99.95 && value < 100) return "99.9 %";
  if (value > 0 && value < 0.05) return "<0.1 %";
  return fmt::format("{:.1f} %", value);
}

Role role_of(const ParetoRow& row) {
  if (row.rest) return Role::rest;
  return row.few ? Role::few : Role::many;
}

// The words at the end of a bar, the most important first.
struct BarWords {
  std::string count;
  std::string percent;
  std::string together;
};

BarWords words_of(const ParetoRow& row, bool first) {
  return {fmt::format("{:g}", row.value), percent(row.percent),
          first ? "" : "together " + percent(row.cumulative_percent)};
}

class ParetoLayout {
 public:
  ParetoLayout(const ParetoTable& table, const ParetoChartOptions& options,
               const TextMeasure& measure)
      : page_(options.frame, measure), options_(options), whole_(table) {}

  ParetoDrawing lay_out() {
    top_ = page_.write_title(options_.frame.title);
    bottom_ = page_.height() - page_.margin() - 0.3 * page_.small() - page_.footer_height(footer());
    const double room = bottom_ - top_;
    const double least = std::max(kRowHeight * page_.text_size(), options_.least_row);
    const auto fitting = static_cast<std::size_t>(std::max(2.0, room / least));
    table_ = folded(whole_, options_.skip + fitting);
    const std::size_t gathered =
        table_.rows.size() < whole_.rows.size() ? whole_.rows.size() - table_.rows.size() + 1 : 0;
    const std::size_t skipped = std::min(options_.skip, table_.rows.size());
    table_.rows.erase(table_.rows.begin(),
                      table_.rows.begin() + static_cast<std::ptrdiff_t>(skipped));
    if (table_.rows.empty() || table_.total_value <= 0) return {empty(), {}, {}, 0};
    row_height_ = std::min(room / static_cast<double>(table_.rows.size()),
                           std::max(kMostRowHeight * page_.text_size(), options_.least_row));
    find_columns();
    for (std::size_t i = 0; i < table_.rows.size(); ++i) draw_row(i);
    draw_border_of_few();
    page_.write_footer(footer());
    return {page_.finish(description()), table_.rows, boxes(), gathered};
  }

 private:
  Chart empty() {
    page_.write({Role::label,
                 {page_.margin(), top_ + 2 * page_.text_size()},
                 Anchor::start,
                 page_.text_size(),
                 false,
                 "no " + options_.counted});
    return page_.finish("No " + options_.counted + ".");
  }

  // Names to the left, words to the right, bars in what remains; words are given up where bars
  // would have less than a quarter of the width.
  void find_columns() {
    const double size = page_.text_size();
    const double usable = page_.width() - 2 * page_.margin();
    double names = 0;
    for (const ParetoRow& row : table_.rows)
      names = std::max(names, page_.width_of(row.name, size, row.few));
    names_ = std::min(names, 0.34 * usable);
    double count = 0;
    double share = 0;
    double together = 0;
    for (std::size_t i = 0; i < table_.rows.size(); ++i) {
      const BarWords words = words_of(table_.rows[i], options_.skip + i == 0);
      count = std::max(count, page_.width_of(words.count, size, true));
      share = std::max(share, page_.width_of(words.percent, size));
      together = std::max(together, page_.width_of(words.together, page_.small()));
    }
    const double least = 0.25 * usable;
    const double left = usable - names_ - 2 * size;
    with_together_ = left - count - share - together - 2 * size >= least;
    with_percent_ = left - count - share - size >= least;
    const double words =
        count + (with_percent_ ? share + size : 0) + (with_together_ ? together + size : 0);
    bars_from_ = page_.margin() + names_ + size;
    longest_ = std::max(size, left - words);
  }

  void draw_row(std::size_t index) {
    const ParetoRow& row = table_.rows[index];
    const double size = page_.text_size();
    const double y = top_ + row_height_ * static_cast<double>(index);
    const double baseline = y + row_height_ / 2 + 0.33 * size;
    page_.write({row.few ? Role::title : Role::label,
                 {page_.margin() + names_, baseline},
                 Anchor::end,
                 size,
                 row.few,
                 page_.fit(row.name, names_, size, row.few)});
    const double bar = longest_ * row.value / largest();
    page_.add(Bar{role_of(row), {bars_from_, y + 0.16 * row_height_, bar, 0.68 * row_height_}});
    const BarWords words = words_of(row, options_.skip + index == 0);
    double x = bars_from_ + bar + 0.5 * size;
    page_.write({Role::value, {x, baseline}, Anchor::start, size, true, words.count});
    x += page_.width_of(words.count, size, true) + 0.8 * size;
    if (with_percent_)
      page_.write({Role::value, {x, baseline}, Anchor::start, size, false, words.percent});
    x += page_.width_of(words.percent, size) + 0.8 * size;
    if (with_together_) {
      page_.write({Role::note, {x, baseline}, Anchor::start, page_.small(), false, words.together});
    }
  }

  std::vector<Box> boxes() const {
    std::vector<Box> all;
    for (std::size_t i = 0; i < table_.rows.size(); ++i)
      all.push_back({0, top_ + row_height_ * static_cast<double>(i), page_.width(), row_height_});
    return all;
  }

  void draw_border_of_few() {
    const auto few = static_cast<double>(std::count_if(
        table_.rows.begin(), table_.rows.end(), [](const ParetoRow& row) { return row.few; }));
    if (few == 0 || few == static_cast<double>(table_.rows.size())) return;
    const double y = top_ + few * row_height_;
    page_.add(Line{Role::grid, {page_.margin(), y}, {page_.width() - page_.margin(), y}, 1, true});
  }

  std::string footer() const {
    return fmt::format("{} {}; {}", whole_.total, options_.counted, whole_.few_rule);
  }

  double largest() const {
    double most = 0;
    for (const ParetoRow& row : table_.rows) most = std::max(most, row.value);
    return most;
  }

  std::string description() const {
    const ParetoRow& first = table_.rows.front();
    return fmt::format("{} {}; most often {}: {:g}, {}.", table_.total, options_.counted,
                       first.name, first.value, percent(first.percent));
  }

  Page page_;
  const ParetoChartOptions& options_;
  const ParetoTable& whole_;
  ParetoTable table_;
  double top_ = 0;
  double bottom_ = 0;
  double row_height_ = 0;
  double names_ = 0;      // width of the names
  double bars_from_ = 0;  // where bars begin
  double longest_ = 0;    // the longest bar
  bool with_percent_ = true;
  bool with_together_ = true;
};

}  // namespace

Chart pareto_chart(const ParetoTable& table, const ParetoChartOptions& options,
                   const TextMeasure& measure) {
  return ParetoLayout(table, options, measure).lay_out().chart;
}

ParetoDrawing pareto_drawing(const ParetoTable& table, const ParetoChartOptions& options,
                             const TextMeasure& measure) {
  return ParetoLayout(table, options, measure).lay_out();
}

}  // namespace lastlook::analytics
