// SPDX-License-Identifier: Apache-2.0
#include "analytics/chart_layout.h"

#include <algorithm>
#include <cmath>

namespace lastlook::analytics {

Page::Page(const ChartFrame& frame, const TextMeasure& measure)
    : measure_(measure), text_size_(frame.text_size) {
  chart_.width = frame.width;
  chart_.height = frame.height;
  chart_.title = frame.title;
}

void Page::write(Text text) {
  if (text.text.empty()) return;
  taken_.push_back(box_of(text, measure_));
  chart_.marks.emplace_back(std::move(text));
}

bool Page::try_write(Text text, double gap) {
  const Box box = box_of(text, measure_);
  const Box wide = {box.x - gap, box.y - gap / 2, box.width + 2 * gap, box.height + gap};
  const bool inside = box.x >= 0 && box.y >= 0 && box.x + box.width <= chart_.width &&
                      box.y + box.height <= chart_.height;
  const bool free = std::none_of(taken_.begin(), taken_.end(),
                                 [&](const Box& other) { return overlap(wide, other); });
  if (inside && free) write(std::move(text));
  return inside && free;
}

double Page::write_title(const std::string& title) {
  if (title.empty()) return margin();
  const double size = 1.25 * text_size_;
  Text text{Role::title, {margin(), margin() + 0.8 * size}, Anchor::start, size, true, ""};
  text.text = fit(title, chart_.width - 2 * margin(), size, true);
  write(text);
  return margin() + 1.7 * size;
}

double Page::footer_height(const std::string& text) const {
  const auto lines = wrapped(text, chart_.width - 2 * margin(), 2, small(), measure_);
  return 1.35 * small() * static_cast<double>(lines.size());
}

void Page::write_footer(const std::string& text) {
  const auto lines = wrapped(text, chart_.width - 2 * margin(), 2, small(), measure_);
  double y = chart_.height - margin() - 1.35 * small() * static_cast<double>(lines.size() - 1);
  for (const std::string& line : lines) {
    write({Role::note, {margin(), y}, Anchor::start, small(), false, line});
    y += 1.35 * small();
  }
}

void Page::draw_levels(const std::vector<std::pair<double, std::string>>& levels, double left,
                       double right) {
  for (const auto& [y, name] : levels) {
    add(Line{Role::grid, {left, y}, {right, y}, 1, false});
    write({Role::axis,
           {left - 0.5 * text_size_, y + 0.3 * small()},
           Anchor::end,
           small(),
           false,
           name});
  }
}

bool Page::try_write_below(const std::string& text, double x, double y, Role role) {
  const double half = width_of(text, small()) / 2 + 1;
  const double inside = std::max(half, std::min(x, chart_.width - half));
  return try_write({role, {inside, y}, Anchor::middle, small(), false, text});
}

std::size_t Page::name_step(const std::vector<std::string>& names, double spacing,
                            double most) const {
  double widest = 0;
  for (const std::string& name : names)
    widest = std::max(widest, std::min(most, width_of(name, small())));
  std::size_t step = 1;
  std::size_t power = 1;
  while (static_cast<double>(step) * spacing < widest + small() && step < names.size()) {
    step = step == power ? 2 * power : step == 2 * power ? 5 * power : 10 * power;
    if (step == 10 * power) power = step;
  }
  return step;
}

Chart Page::finish(std::string description) {
  chart_.description = std::move(description);
  return std::move(chart_);
}

std::vector<double> round_steps(double low, double high, int wanted) {
  const double rough = (high - low) / std::max(1, wanted - 1);
  const double power = std::pow(10.0, std::floor(std::log10(rough)));
  double step = 10 * power;
  for (const double factor : {1.0, 2.0, 5.0}) {
    if (factor * power >= rough * (1 - 1e-9)) {
      step = factor * power;
      break;
    }
  }
  std::vector<double> out;
  const double first = std::floor(low / step + 1e-9);
  const double last = std::ceil(high / step - 1e-9);
  for (double i = first; i <= last; i += 1) out.push_back(i * step);
  return out;
}

}  // namespace lastlook::analytics
