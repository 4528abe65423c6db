// SPDX-License-Identifier: Apache-2.0
#include "analytics/control_chart_drawing.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace lastlook::analytics {
namespace {

constexpr int kMostTries = 8;        // reasons without a place, before the search ends
constexpr int kPhaseRows = 2;        // of names above the plot
constexpr double kPhaseRow = 1.3;    // of the text size
constexpr double kReasonStep = 1.3;  // of the text size, from one line of reasons to the next

bool crosses(const Point& from, const Point& to, const Box& box) {
  // Liang and Barsky's clipping: is any part of the segment inside the box?
  double enter = 0;
  double leave = 1;
  const auto clip = [&](double start, double delta, double low, double high) {
    if (delta == 0) return start >= low && start <= high;
    const double a = (low - start) / delta;
    const double b = (high - start) / delta;
    enter = std::max(enter, std::min(a, b));
    leave = std::min(leave, std::max(a, b));
    return enter <= leave;
  };
  return clip(from.x, to.x - from.x, box.x, box.x + box.width) &&
         clip(from.y, to.y - from.y, box.y, box.y + box.height);
}

class ControlChartLayout {
 public:
  ControlChartLayout(const AttributeChart& chart, const ControlChartOptions& options,
                     const TextMeasure& measure)
      : page_(options.frame, measure), chart_(chart) {}

  Chart lay_out(const std::string& title) {
    top_ = page_.write_title(title) + 1.8 * page_.small();
    page_.write({Role::note,
                 {page_.margin(), top_ - page_.small()},
                 Anchor::start,
                 page_.small(),
                 false,
                 page_.fit(chart_.axis, page_.width() - 2 * page_.margin(), page_.small())});
    if (chart_.phases.size() > 1) band_ = kPhaseRows * kPhaseRow * page_.small();
    top_ += band_;
    bottom_ = page_.height() - page_.margin() - 2.3 * page_.small() - page_.footer_height(footer());
    find_scale();
    draw_axis();
    draw_phases();
    draw_steps(&ChartPoint::upper, Role::limit, true);
    draw_steps(&ChartPoint::lower, Role::limit, true);
    draw_steps(&ChartPoint::centre, Role::centre, false);
    draw_series(&ChartPoint::value);
    draw_series(&ChartPoint::down);
    name_limits();
    name_samples();
    draw_points();
    write_reasons();
    write_footer();
    return page_.finish(description());
  }

 private:
  // With as many decimals as the axis needs, and `more` of them.
  std::string number(double value, int more = 0) const {
    const double scale = chart_.in_percent ? 100 : 1;
    const int needed = static_cast<int>(std::ceil(-std::log10(scale * step_) - 1e-9));
    return fmt::format("{:.{}f}{}", scale * value, std::clamp(needed, 0, 6) + more,
                       chart_.in_percent ? " %" : "");
  }
  std::string finer(double value) const { return number(value, 1); }

  void find_scale() {
    double high = 0;
    double low = 0;
    for (const ChartPoint& p : chart_.points) {
      if (!p.value) continue;
      high = std::max({high, *p.value, *p.upper});
      low = std::min({low, *p.value, *p.lower, p.down.value_or(0)});
    }
    if (!(high > 0)) high = chart_.in_percent ? 0.01 : 1;
    const int wanted =
        std::clamp(static_cast<int>((bottom_ - top_) / (3 * page_.text_size())), 2, 7);
    double reach = high * (chart_.has_signals() ? 1.12 : 1.04);
    if (chart_.in_percent) reach = std::min(reach, 1.0);  // there is no more than all of them
    ticks_ = round_steps(low, reach, wanted);
    step_ = ticks_[1] - ticks_[0];
    double labels = 0;
    for (const double tick : ticks_)
      labels = std::max(labels, page_.width_of(number(tick), page_.small()));
    left_ = page_.margin() + labels + 0.6 * page_.text_size();
    double names = 0;
    for (const auto& [name, value] : limit_names()) {
      names = std::max(names, page_.width_of(name, page_.small()));
    }
    with_limit_names_ = names < 0.3 * page_.width();
    right_ =
        page_.width() - page_.margin() - (with_limit_names_ ? names + 0.6 * page_.text_size() : 0);
    spacing_ =
        (right_ - left_) / static_cast<double>(std::max<std::size_t>(1, chart_.points.size()));
  }

  double x_of(std::size_t index) const {
    return left_ + (static_cast<double>(index) + 0.5) * spacing_;
  }
  double y_of(double value) const {
    return bottom_ - (bottom_ - top_) * (value - ticks_.front()) / (ticks_.back() - ticks_.front());
  }

  void draw_axis() {
    std::vector<std::pair<double, std::string>> levels;
    for (const double tick : ticks_) levels.emplace_back(y_of(tick), number(tick));
    page_.draw_levels(levels, left_, right_);
    page_.add(Line{Role::axis, {left_, bottom_}, {right_, bottom_}, 1, false});
  }

  // Between the heading and the plot, so that no line runs through the names.
  void draw_phases() {
    if (chart_.phases.size() < 2) return;
    for (const ChartPhase& phase : chart_.phases) {
      const double from = left_ + static_cast<double>(phase.first) * spacing_;
      const double to = left_ + static_cast<double>(phase.end) * spacing_;
      if (phase.first > 0)
        page_.add(Line{Role::phase, {from, top_ - band_}, {from, bottom_}, 1, true});
      name_phase(phase, from, to);
    }
  }

  // From the border on to the right; where the phase is too short for its name, up to the border,
  // below the names that are there.
  void name_phase(const ChartPhase& phase, double from, double to) {
    const double size = page_.small();
    const double room = to - from - size;
    const double width = page_.width_of(phase.name, size, true);
    Text text{Role::phase, {from + 0.5 * size, top_ - band_ + size}, Anchor::start, size, true, ""};
    if (width > room && phase.first > 0 && width < from - left_) {
      text.text = phase.name;
      text.at.x = from - 0.5 * size;
      text.anchor = Anchor::end;
      for (int row = 0; row < kPhaseRows; ++row) {
        if (page_.try_write(text, 0)) return;
        text.at.y += kPhaseRow * size;
      }
      text.at = {from + 0.5 * size, top_ - band_ + size};
      text.anchor = Anchor::start;
    }
    text.text = page_.fit(phase.name, room, size, true);
    page_.try_write(text, 0);
  }

  // One step a point; a point without a limit, and a new phase, breaks the line.
  void draw_steps(std::optional<double> ChartPoint::*limit, Role role, bool dashed) {
    std::vector<Point> line;
    const auto flush = [&] {
      draw_line({role, line, 1.5, dashed});
      line.clear();
    };
    for (std::size_t i = 0; i < chart_.points.size(); ++i) {
      const ChartPoint& point = chart_.points[i];
      if (i > 0 && point.phase != chart_.points[i - 1].phase) flush();
      if (!(point.*limit)) {
        flush();
        continue;
      }
      const double y = y_of(*(point.*limit));
      const double from = left_ + static_cast<double>(i) * spacing_;
      if (line.empty() || line.back().y != y) line.push_back({from, y});
      // A level run is one segment: move its end instead of adding points.
      if (line.size() > 1 && line.back().y == y && line[line.size() - 2].y == y) line.pop_back();
      line.push_back({from + spacing_, y});
    }
    flush();
  }

  void draw_series(std::optional<double> ChartPoint::*value) {
    std::vector<Point> line;
    for (std::size_t i = 0; i <= chart_.points.size(); ++i) {
      const bool ends = i == chart_.points.size() || !(chart_.points[i].*value) ||
                        (i > 0 && chart_.points[i].phase != chart_.points[i - 1].phase);
      if (ends) {
        draw_line({Role::series, line, 1.2, false});
        line.clear();
      }
      if (i < chart_.points.size() && chart_.points[i].*value) {
        line.push_back({x_of(i), y_of(*(chart_.points[i].*value))});
      }
    }
  }

  std::vector<std::pair<std::string, double>> limit_names() const {
    for (std::size_t i = chart_.points.size(); i-- > 0;) {
      const ChartPoint& p = chart_.points[i];
      if (!p.value) continue;
      return {{"upper " + finer(*p.upper), *p.upper},
              {"centre " + finer(*p.centre), *p.centre},
              {"lower " + finer(*p.lower), *p.lower}};
    }
    return {};
  }

  // At the right end, the centre first: it is the one to keep where they are too close.
  void name_limits() {
    if (!with_limit_names_) return;
    auto names = limit_names();
    if (names.size() == 3) std::swap(names[0], names[1]);
    for (const auto& [name, value] : names) {
      const Role role = name.starts_with("centre") ? Role::centre : Role::limit;
      page_.try_write({role,
                       {right_ + 0.5 * page_.text_size(), y_of(value) + 0.3 * page_.small()},
                       Anchor::start,
                       page_.small(),
                       false,
                       name},
                      0);
    }
  }

  // Every name, or every second, fifth, … so that none touches the next.
  void name_samples() {
    const double size = page_.small();
    const double most = std::max({9 * size, spacing_, 0.25 * (right_ - left_)});
    std::vector<std::string> names;
    for (const ChartPoint& p : chart_.points) names.push_back(page_.fit(p.sample, most, size));
    const std::size_t every = page_.name_step(names, spacing_, most);
    for (std::size_t i = 0; i < names.size(); i += every) {
      page_.try_write_below(names[i], x_of(i), bottom_ + 1.6 * size, Role::axis);
      page_.add(Line{Role::axis, {x_of(i), bottom_}, {x_of(i), bottom_ + 4}, 1, false});
    }
  }

  void draw_points() {
    const double size = std::clamp(0.5 * spacing_, 2.0, 0.5 * page_.text_size());
    for (std::size_t i = 0; i < chart_.points.size(); ++i) {
      const ChartPoint& p = chart_.points[i];
      if (!p.value) continue;
      if (p.down && p.excluded.empty())
        page_.add(Symbol{Role::series, Glyph::ring, {x_of(i), y_of(*p.down)}, size});
      const Point at = {x_of(i), y_of(shown(p))};
      if (!p.signals.empty()) {
        const double large = std::max(1.7 * size, 0.6 * page_.text_size());
        page_.add(Symbol{Role::signal, Glyph::diamond, at, large});
        page_.keep_free({at.x - large / 2, at.y - large / 2, large, large});
      } else if (!p.excluded.empty()) {
        page_.add(Symbol{Role::excluded, Glyph::ring, at, size});
      } else {
        page_.add(Symbol{Role::series, Glyph::dot, at, size});
      }
    }
  }

  // Where a point stands: of a CUSUM, the line that is beyond its limit.
  static double shown(const ChartPoint& p) {
    return p.down && *p.down < *p.lower && *p.value <= *p.upper ? *p.down : *p.value;
  }

  // Whether the point before says the same: a run that goes on is named once.
  bool continues(std::size_t index, const std::string& reason) const {
    if (index == 0) return false;
    const auto& before = chart_.points[index - 1].signals;
    return std::any_of(before.begin(), before.end(),
                       [&](const Signal& s) { return s.reason == reason; });
  }

  void write_reasons() {
    for (std::size_t i = 0; i < chart_.points.size(); ++i) {
      const ChartPoint& p = chart_.points[i];
      if (!p.value) continue;
      for (const Signal& signal : p.signals) {
        if (!continues(i, signal.reason)) write_reason(i, signal.reason, Role::signal);
      }
      if (!p.excluded.empty()) write_reason(i, p.excluded, Role::excluded);
    }
  }

  // Draws the line and remembers it as a place where reasons should not stand.
  void draw_line(const Polyline& line) {
    if (line.points.size() < 2) return;
    page_.add(line);
    lines_.push_back(line.points);
  }

  // Whether the text would lie on a line. Lines run from left to right.
  bool on_line(const Text& text) const {
    const Box box = page_.box(text);
    for (const std::vector<Point>& line : lines_) {
      auto at = std::lower_bound(line.begin(), line.end(), box.x,
                                 [](const Point& p, double x) { return p.x < x; });
      if (at != line.begin()) --at;
      for (; at + 1 < line.end() && at->x <= box.x + box.width; ++at) {
        if (crosses(*at, *(at + 1), box)) return true;
      }
    }
    return false;
  }

  // Beside the point where there is a free place, else above or below it at the end of a thin line.
  void write_reason(std::size_t index, const std::string& reason, Role role) {
    if (unwritten_ >= kMostTries) {  // the page is full
      ++unwritten_;
      return;
    }
    const double size = page_.small();
    const Point at = {x_of(index), y_of(shown(chart_.points[index]))};
    const std::string text = page_.fit(reason, 0.45 * page_.width(), size);
    const auto most = static_cast<int>((bottom_ - top_) / (kReasonStep * size));
    for (const bool may_cross : {false, true}) {
      for (int step = 0; step <= 2 * most; ++step) {
        // 0, up, down, further up, …
        const double rise = kReasonStep * size * (step % 2 == 0 ? step / 2 : -(step + 1) / 2);
        if (write_near(at, rise, {role, {}, Anchor::start, size, false, text}, may_cross)) return;
      }
    }
    ++unwritten_;
  }

  // Tries right, left and, where it is not level with the point, straight above or below.
  bool write_near(const Point& at, double rise, Text text, bool may_cross) {
    const double size = text.size;
    const double aside = 0.7 * page_.text_size();
    text.at.y = at.y + 0.3 * size + rise;
    if (text.at.y - size < top_ - 0.2 * size || text.at.y > bottom_ - 0.3 * size) return false;
    for (const Anchor anchor : {Anchor::start, Anchor::end, Anchor::middle}) {
      if (anchor == Anchor::middle && rise == 0) continue;
      text.anchor = anchor;
      text.at.x = at.x + (anchor == Anchor::start ? aside : anchor == Anchor::end ? -aside : 0);
      if ((!may_cross && on_line(text)) || !page_.try_write(text)) continue;
      if (std::abs(rise) > 2.5 * kReasonStep * size) {
        const double to = rise < 0 ? text.at.y + 0.3 * size : text.at.y - size;
        page_.add(Line{text.role, at, {at.x, to}, 0.8, false});
      }
      return true;
    }
    return false;
  }

  std::string footer() const {
    std::string text;
    for (const std::string& note : chart_.notes) text += (text.empty() ? "" : ". ") + note;
    return text.empty() ? chart_.limits_in_words : text;
  }

  // Of one line more than there is room for, the reasons that do not fit are what must be read.
  void write_footer() {
    const std::string left_out =
        unwritten_ > 0 ? fmt::format("{} more reasons do not fit here. ", unwritten_) : "";
    const bool grows = page_.footer_height(left_out + footer()) > page_.footer_height(footer());
    page_.write_footer(grows ? left_out : left_out + footer());
  }

  std::string description() const {
    const auto signals = std::count_if(chart_.points.begin(), chart_.points.end(),
                                       [](const ChartPoint& p) { return !p.signals.empty(); });
    return fmt::format("{} points around {}; {} ask for a look.", chart_.points.size(),
                       finer(chart_.centre()), signals);
  }

  Page page_;
  const AttributeChart& chart_;
  std::vector<double> ticks_;
  double step_ = 1;
  double top_ = 0;
  double bottom_ = 0;
  double band_ = 0;  // for the names of phases
  double left_ = 0;
  double right_ = 0;
  double spacing_ = 0;
  bool with_limit_names_ = true;
  std::vector<std::vector<Point>> lines_;
  int unwritten_ = 0;
};

}  // namespace

Chart control_chart_drawing(const AttributeChart& chart, const ControlChartOptions& options,
                            const TextMeasure& measure) {
  return ControlChartLayout(chart, options, measure).lay_out(options.frame.title);
}

}  // namespace lastlook::analytics
