// SPDX-License-Identifier: Apache-2.0
#include "analytics/agreement_chart.h"

#include <fmt/format.h>

#include <algorithm>

namespace lastlook::analytics {
namespace {

constexpr double kGoodAbove = 0.75;
constexpr double kPoorBelow = 0.40;

std::string limits_text(const Result<Interval>& limits, double scale, int decimals) {
  if (!limits) return "";
  return fmt::format("{:.{}f} to {:.{}f}", scale * limits->low, decimals,
                     scale * std::min(1.0, limits->high), decimals);
}

// What a cell says.
struct Cell {
  std::string value;
  std::string limits;
  Role role = Role::value;
  bool has_glyph = false;
  Glyph glyph = Glyph::square;
};

Cell kappa_cell(const Result<double>& value, const Result<Interval>& limits) {
  Cell cell;
  cell.value = value ? fmt::format("{:.2f}", *value) : "none";
  cell.limits = limits_text(limits, 1, 2);
  if (!limits) return cell;
  if (limits->low > kGoodAbove) return {cell.value, cell.limits, Role::good, true, Glyph::square};
  if (limits->low < kPoorBelow) return {cell.value, cell.limits, Role::bad, true, Glyph::diamond};
  return cell;
}

Cell share_cell(const Result<double>& value, const Result<Interval>& limits) {
  return {value ? fmt::format("{:.0f} %", 100 * *value) : "none", limits_text(limits, 100, 0),
          Role::value, false, Glyph::square};
}

template <class T>
Result<double> value_of(const Result<T>& result) {
  return result.map([](const T& t) { return t.value; });
}

class AgreementLayout {
 public:
  AgreementLayout(const Agreement& agreement, const Study& study,
                  const AgreementChartOptions& options, const TextMeasure& measure)
      : page_(options.frame, measure), agreement_(agreement), study_(study) {}

  Chart lay_out(const std::string& title) {
    top_ = page_.write_title(title);
    find_grid();
    draw_heads();
    draw_cells();
    draw_lines();
    write_sentences();
    return page_.finish(description());
  }

 private:
  bool has_reference() const { return !agreement_.with_reference.empty(); }

  void find_grid() {
    const double size = page_.text_size();
    const double usable = page_.width() - 2 * page_.margin();
    names_ = page_.width_of("all", size, true);
    for (const std::string& name : study_.inspectors)
      names_ = std::max(names_, page_.width_of(name, size, true));
    names_ = std::min(names_, 0.25 * usable) + size;
    cell_width_ = page_.width_of("0.00 to 0.00", page_.small()) + 2 * size;
    cell_height_ = 3.4 * size;
    const double extra = 1;  // the column of the reference, or of all together
    const auto columns =
        static_cast<std::size_t>(std::max(0.0, (usable - names_) / cell_width_ - extra));
    const double sentence = has_reference() ? 1.6 * size : 0;
    const double head = 2 * size;
    const double room = page_.height() - top_ - head - page_.margin() - 0.7 * page_.small() -
                        cell_height_ - page_.footer_height(longest_footer());
    const auto rows = static_cast<std::size_t>(std::max(0.0, room / (cell_height_ + sentence)));
    shown_ = std::min({study_.inspectors.size(), columns, rows});
    left_ = page_.margin() + names_;
    grid_top_ = top_ + head;
  }

  double x_of(std::size_t column) const {
    return left_ + cell_width_ * static_cast<double>(column);
  }
  double y_of(std::size_t row) const { return grid_top_ + cell_height_ * static_cast<double>(row); }

  void head(std::size_t column, const std::string& name) {
    const double size = page_.text_size();
    page_.write({Role::label,
                 {x_of(column) + cell_width_ / 2, grid_top_ - 0.6 * size},
                 Anchor::middle,
                 size,
                 true,
                 page_.fit(name, cell_width_ - 0.5 * size, size, true)});
  }

  void draw_heads() {
    const double size = page_.text_size();
    for (std::size_t i = 0; i < shown_; ++i) {
      head(i, study_.inspectors[i]);
      page_.write({Role::label,
                   {left_ - 0.7 * size, y_of(i) + cell_height_ / 2 + 0.3 * size},
                   Anchor::end,
                   size,
                   true,
                   page_.fit(study_.inspectors[i], names_ - size, size, true)});
    }
    if (has_reference()) head(shown_, "reference");
    page_.write({Role::label,
                 {left_ - 0.7 * size, y_of(shown_) + cell_height_ / 2 + 0.3 * size},
                 Anchor::end,
                 size,
                 true,
                 page_.fit("all", names_ - size, size, true)});
  }

  void cell(std::size_t row, std::size_t column, const Cell& cell) {
    const double size = page_.text_size();
    const double x = x_of(column) + cell_width_ / 2;
    const double y = y_of(row) + 0.5 * cell_height_;
    const bool alone = cell.limits.empty();
    page_.write({cell.role,
                 {x, y + (alone ? 0.35 * size : -0.1 * size)},
                 Anchor::middle,
                 1.1 * size,
                 true,
                 cell.value});
    page_.write(
        {Role::note, {x, y + 1.15 * size}, Anchor::middle, page_.small(), false, cell.limits});
    if (!cell.has_glyph) return;
    const double aside = page_.width_of(cell.value, 1.1 * size, true) / 2 + 0.8 * size;
    page_.add(Symbol{cell.role, cell.glyph, {x - aside, y - 0.45 * size}, 0.6 * size});
  }

  void draw_cells() {
    for (std::size_t i = 0; i < shown_; ++i) {
      page_.add(Bar{Role::grid, {x_of(i), y_of(i), cell_width_, cell_height_}});
      cell(i, i, share_cell(agreement_.self[i].agree, agreement_.self[i].limits));
    }
    for (const PairAgreement& pair : agreement_.pairs) {
      if (pair.b < shown_) cell(pair.a, pair.b, kappa_cell(value_of(pair.kappa), pair.limits));
    }
    for (const ReferenceAgreement& r : agreement_.with_reference) {
      if (r.inspector < shown_) cell(r.inspector, shown_, kappa_cell(value_of(r.kappa), r.limits));
    }
    cell(shown_, has_reference() ? shown_ : (shown_ > 0 ? shown_ - 1 : 0),
         kappa_cell(value_of(agreement_.group.fleiss), agreement_.group.fleiss_limits));
  }

  void draw_lines() {
    const std::size_t columns = shown_ + (has_reference() ? 1 : 0);
    for (std::size_t row = 0; row <= shown_ + 1; ++row) {
      page_.add(Line{Role::grid, {left_, y_of(row)}, {x_of(columns), y_of(row)}, 1, false});
    }
    for (std::size_t column = 0; column <= columns; ++column) {
      page_.add(
          Line{Role::grid, {x_of(column), grid_top_}, {x_of(column), y_of(shown_ + 1)}, 1, false});
    }
  }

  void write_sentences() {
    const double size = page_.text_size();
    const double room = page_.width() - 2 * page_.margin();
    double y = y_of(shown_ + 1) + 1.6 * size;
    for (const ReferenceAgreement& r : agreement_.with_reference) {
      if (r.inspector >= shown_) continue;
      page_.write({Role::label,
                   {page_.margin(), y},
                   Anchor::start,
                   size,
                   false,
                   page_.fit(study_.inspectors[r.inspector] + " " + in_a_sentence(r), room, size)});
      y += 1.6 * size;
    }
    page_.write_footer(footer());
  }

  // As long as it can get: how many are shown is not known yet where room is made for it.
  std::string longest_footer() const {
    return fmt::format("{} more inspectors do not fit here; ", study_.inspectors.size()) + key();
  }

  static std::string key() {
    return "on the diagonal: items alike in all own trials; elsewhere kappa with 95 % limits";
  }

  std::string footer() const {
    std::string note = key();
    if (shown_ < study_.inspectors.size()) {
      note =
          fmt::format("{} more inspectors do not fit here; ", study_.inspectors.size() - shown_) +
          note;
    }
    return note;
  }

  std::string description() const {
    const auto& fleiss = agreement_.group.fleiss;
    return fmt::format(
        "{} inspectors, {} items; all together {}.", study_.inspectors.size(), study_.items.size(),
        fleiss ? fmt::format("kappa {:.2f}", fleiss->value) : fleiss.error().message);
  }

  Page page_;
  const Agreement& agreement_;
  const Study& study_;
  double top_ = 0;
  double grid_top_ = 0;
  double left_ = 0;
  double names_ = 0;
  double cell_width_ = 0;
  double cell_height_ = 0;
  std::size_t shown_ = 0;
};

}  // namespace

Chart agreement_chart(const Agreement& agreement, const Study& study,
                      const AgreementChartOptions& options, const TextMeasure& measure) {
  return AgreementLayout(agreement, study, options, measure).lay_out(options.frame.title);
}

}  // namespace lastlook::analytics
