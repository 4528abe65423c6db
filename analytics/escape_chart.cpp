// SPDX-License-Identifier: Apache-2.0
#include "analytics/escape_chart.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace lastlook::analytics {
namespace {

std::string percent(double share) {
  return fmt::format("{:.1f} %", 100 * share);
}

class EscapeLayout {
 public:
  EscapeLayout(const std::vector<RunningEscapes>& periods, const ChartFrame& frame,
               const TextMeasure& measure)
      : page_(frame, measure), periods_(periods) {}

  Chart lay_out(const std::string& title) {
    top_ = page_.write_title(title) + 1.8 * page_.small();
    page_.write({Role::note,
                 {page_.margin(), top_ - page_.small()},
                 Anchor::start,
                 page_.small(),
                 false,
                 page_.fit("rejected at the second look, percent of accepted", 0.7 * page_.width(),
                           page_.small())});
    bottom_ = page_.height() - page_.margin() - 3.7 * page_.small() - page_.footer_height(footer());
    find_scale();
    draw_axis();
    draw_running();
    for (std::size_t i = 0; i < periods_.size(); ++i) draw_period(i);
    name_periods();
    page_.write_footer(footer());
    return page_.finish(footer());
  }

 private:
  void find_scale() {
    double high = 0.01;
    for (const RunningEscapes& p : periods_) {
      if (p.alone.rate) high = std::max(high, *p.alone.rate);
      if (p.running.at_most) high = std::max(high, *p.running.at_most);
    }
    // The limits of a short period reach far: let them leave the page rather than flatten the rest.
    const int wanted =
        std::clamp(static_cast<int>((bottom_ - top_) / (3 * page_.text_size())), 2, 7);
    ticks_ = round_steps(0, std::min(100.0, 115 * high), wanted);
    double labels = 0;
    for (const double tick : ticks_)
      labels = std::max(labels, page_.width_of(fmt::format("{:g} %", tick), page_.small()));
    left_ = page_.margin() + labels + 0.6 * page_.text_size();
    const double names = page_.width_of("at most 00.0 %", page_.small());
    right_ = page_.width() - page_.margin() - names - 0.6 * page_.text_size();
    spacing_ = (right_ - left_) / static_cast<double>(std::max<std::size_t>(1, periods_.size()));
  }

  double x_of(std::size_t index) const {
    return left_ + (static_cast<double>(index) + 0.5) * spacing_;
  }
  double y_of(double share) const {
    const double y = bottom_ - (bottom_ - top_) * 100 * share / ticks_.back();
    return std::max(top_, y);
  }

  void draw_axis() {
    std::vector<std::pair<double, std::string>> levels;
    for (const double tick : ticks_)
      levels.emplace_back(y_of(tick / 100), fmt::format("{:g} %", tick));
    page_.draw_levels(levels, left_, right_);
    page_.add(Line{Role::axis, {left_, bottom_}, {right_, bottom_}, 1, false});
  }

  void draw_running() {
    Polyline share{Role::centre, {}, 2, false};
    Polyline limit{Role::limit, {}, 1.5, true};
    const Escapes* last = nullptr;
    for (std::size_t i = 0; i < periods_.size(); ++i) {
      const Escapes& running = periods_[i].running;
      if (!running.rate) continue;
      share.points.push_back({x_of(i), y_of(*running.rate)});
      limit.points.push_back({x_of(i), y_of(*running.at_most)});
      last = &running;
    }
    if (!last) return;
    page_.add(limit);
    page_.add(share);
    const double x = right_ + 0.5 * page_.text_size();
    const double size = page_.small();
    page_.try_write({Role::limit,
                     {x, y_of(*last->at_most) + 0.3 * size},
                     Anchor::start,
                     size,
                     false,
                     "at most " + percent(*last->at_most)},
                    0);
    page_.try_write({Role::centre,
                     {x, y_of(*last->rate) + 0.3 * size},
                     Anchor::start,
                     size,
                     false,
                     "so far " + percent(*last->rate)},
                    0);
  }

  void draw_period(std::size_t index) {
    const Escapes& own = periods_[index].alone;
    if (!own.rate) return;
    const double x = x_of(index);
    page_.add(
        Line{Role::excluded, {x, y_of(own.limits->low)}, {x, y_of(own.limits->high)}, 1, false});
    const Role role = own.escapes > 0 ? Role::signal : Role::series;
    const Glyph glyph = own.escapes > 0 ? Glyph::diamond : Glyph::dot;
    const double size = std::clamp(0.5 * spacing_, 3.0, 0.6 * page_.text_size());
    page_.add(Symbol{role, glyph, {x, y_of(*own.rate)}, size});
  }

  static std::string counts(const RunningEscapes& period) {
    return fmt::format("{} of {}", period.alone.escapes, period.alone.accepted);
  }

  void name_periods() {
    const double size = page_.small();
    const double most = std::max({9 * size, spacing_, 0.25 * (right_ - left_)});
    std::vector<std::string> names;
    std::vector<std::string> both;
    for (const RunningEscapes& p : periods_) {
      names.push_back(page_.fit(p.period, most, size));
      both.push_back(names.back());
      both.push_back(counts(p));
    }
    const std::size_t every = page_.name_step(both, spacing_, most);
    for (std::size_t i = 0; i < periods_.size(); i += every) {
      page_.try_write_below(names[i], x_of(i), bottom_ + 1.6 * size, Role::axis);
      page_.try_write_below(counts(periods_[i]), x_of(i), bottom_ + 3 * size, Role::value);
    }
  }

  std::string footer() const {
    if (periods_.empty() || !periods_.back().running.rate)
      return "no accepted unit was looked at again";
    return in_a_sentence(periods_.back().running);
  }

  Page page_;
  const std::vector<RunningEscapes>& periods_;
  std::vector<double> ticks_;
  double top_ = 0;
  double bottom_ = 0;
  double left_ = 0;
  double right_ = 0;
  double spacing_ = 1;
};

}  // namespace

Chart escape_chart(const std::vector<RunningEscapes>& periods, const ChartFrame& frame,
                   const TextMeasure& measure) {
  return EscapeLayout(periods, frame, measure).lay_out(frame.title);
}

}  // namespace lastlook::analytics
