// SPDX-License-Identifier: Apache-2.0
#include "analytics/score_track.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace lastlook::analytics {
namespace {

class Track {
 public:
  Track(const std::vector<ScorePoint>& points, const ScoreTrackOptions& options,
        const TextMeasure& measure)
      : points_(points), options_(options), page_(options.frame, measure) {}

  Chart lay_out() {
    const double top = page_.write_title(options_.frame.title);
    const double size = page_.text_size();
    field_ = {page_.margin() + page_.width_of("0.0", size) + 0.6 * size, top + 1.6 * size, 0, 0};
    field_.width = page_.width() - page_.margin() - field_.x;
    field_.height = page_.height() - 2.6 * size - field_.y;
    if (points_.empty()) {
      page_.write(
          {Role::note, {page_.margin(), top + size}, Anchor::start, size, false, options_.none});
      return page_.finish(options_.none);
    }
    draw_scale();
    draw_lines();
    draw_phases();
    draw_points();
    write_names();
    return page_.finish(description());
  }

 private:
  Point at(std::size_t i) const {
    const double share = (static_cast<double>(i) + 0.5) /
                         static_cast<double>(std::max<std::size_t>(1, points_.size()));
    return {field_.x + share * field_.width, y_of(points_[i].score)};
  }

  double y_of(double score) const {
    return field_.y + (1 - std::clamp(score, 0.0, 1.0)) * field_.height;
  }

  bool starts_phase(std::size_t i) const {
    return i > 0 && points_[i].phase != points_[i - 1].phase;
  }

  void draw_scale() {
    const double size = page_.text_size();
    for (const double step : round_steps(0, 1, 6)) {
      const double y = y_of(step);
      page_.add(Line{Role::grid, {field_.x, y}, {field_.x + field_.width, y}, 1, false});
      page_.write({Role::axis,
                   {field_.x - 0.6 * size, y + 0.35 * size},
                   Anchor::end,
                   size,
                   false,
                   fmt::format("{:.1f}", step)});
    }
  }

  void draw_lines() {
    Polyline line;
    for (std::size_t i = 0; i < points_.size(); ++i) {
      if (starts_phase(i)) page_.add(std::exchange(line, {}));
      line.points.push_back(at(i));
    }
    page_.add(line);
  }

  void draw_phases() {
    const double size = page_.small();
    for (std::size_t i = 0; i < points_.size(); ++i) {
      if (i > 0 && !starts_phase(i)) continue;
      const double x = i == 0 ? field_.x : (at(i - 1).x + at(i).x) / 2;
      if (i > 0)
        page_.add(Line{Role::phase, {x, field_.y}, {x, field_.y + field_.height}, 1, true});
      page_.try_write({Role::phase,
                       {x + 0.3 * size, field_.y - 0.6 * size},
                       Anchor::start,
                       size,
                       false,
                       points_[i].phase});
    }
  }

  void draw_points() {
    const double across = 0.6 * page_.text_size();
    for (std::size_t i = 0; i < points_.size(); ++i) {
      const bool wrong = !points_[i].wrong.empty();
      page_.add(Symbol{wrong ? Role::signal : Role::series, wrong ? Glyph::diamond : Glyph::dot,
                       at(i), wrong ? 1.5 * across : across});
    }
    for (std::size_t i = 0; i < points_.size(); ++i)
      page_.keep_free({at(i).x - across, at(i).y - across, 2 * across, 2 * across});
    for (std::size_t i = points_.size(); i-- > 0;) write_reason(i);
  }

  // Above or below the point, where there is room: the newest first.
  void write_reason(std::size_t i) {
    const double size = page_.text_size();
    const Point point = at(i);
    for (const double dy : {-0.9 * size, 1.7 * size, -2.1 * size, 2.9 * size})
      for (const Anchor side : {Anchor::middle, Anchor::end, Anchor::start}) {
        const double dx = side == Anchor::start ? -0.4 * size : 0.4 * size;
        const Text text{Role::signal, {point.x + (side == Anchor::middle ? 0 : dx), point.y + dy},
                        side,         size,
                        false,        points_[i].wrong};
        if (text.text.empty() || page_.try_write(text)) return;
      }
  }

  // The newest has its name; before it every one, or every second, fifth, …
  void write_names() {
    std::vector<std::string> names;
    for (const ScorePoint& point : points_) names.push_back(point.name);
    const double spacing = points_.size() > 1 ? at(1).x - at(0).x : page_.width();
    const std::size_t every = page_.name_step(names, spacing, page_.width());
    for (std::size_t i = points_.size(); i > 0; i -= std::min(i, every))
      page_.try_write_below(names[i - 1], at(i - 1).x, page_.height() - page_.margin(), Role::axis);
  }

  std::string description() const {
    const auto wrong = std::ranges::count_if(
        points_, [](const ScorePoint& point) { return !point.wrong.empty(); });
    return fmt::format("{} points from {:.2f} to {:.2f}, {} of them wrong.", points_.size(),
                       points_.front().score, points_.back().score, wrong);
  }

  const std::vector<ScorePoint>& points_;
  const ScoreTrackOptions& options_;
  Page page_;
  Box field_;
};

}  // namespace

Chart score_track(const std::vector<ScorePoint>& points, const ScoreTrackOptions& options,
                  const TextMeasure& measure) {
  return Track(points, options, measure).lay_out();
}

}  // namespace lastlook::analytics
