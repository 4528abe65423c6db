// SPDX-License-Identifier: Apache-2.0
// What the layouts of charts share: a page to put marks on that knows where text already is, and
// scales with round numbers.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "analytics/marks.h"

namespace lastlook::analytics {

struct ChartFrame {
  double width = 800;
  double height = 450;
  double text_size = 14;  // of ordinary text; headings are larger, notes a little smaller
  std::string title;
};

class Page {
 public:
  Page(const ChartFrame& frame, const TextMeasure& measure);

  template <class OneMark>
  void add(OneMark mark) {
    chart_.marks.emplace_back(std::move(mark));
  }
  // Puts the text down and remembers its box.
  void write(Text text);
  // The same only where its box lies on the page and touches no text so far. True if written.
  bool try_write(Text text, double gap = 2);
  Box box(const Text& text) const { return box_of(text, measure_); }
  // Keeps later try_write() away from here.
  void keep_free(Box box) { taken_.push_back(box); }

  double width_of(const std::string& text, double size, bool bold = false) const {
    return measure_.width(text, size, bold);
  }
  std::string fit(const std::string& text, double room, double size, bool bold = false) const {
    return shortened(text, room, size, bold, measure_);
  }
  // The heading, cut to the page; returns the y below it, or the upper margin where there is none.
  double write_title(const std::string& title);
  // The quiet sentence at the foot, in one or two lines, and the room that it takes.
  void write_footer(const std::string& text);
  double footer_height(const std::string& text) const;
  // Guides from `left` to `right`, each at its y with its name left of it.
  void draw_levels(const std::vector<std::pair<double, std::string>>& levels, double left,
                   double right);
  // A small text whose middle is at x, or as near as the page allows. True if written.
  bool try_write_below(const std::string& text, double x, double y, Role role);
  // Which of small names `spacing` apart can stand side by side, none wider than `most`: 1, 2, 5,
  // 10, …: every one, every second, …
  std::size_t name_step(const std::vector<std::string>& names, double spacing, double most) const;

  double text_size() const { return text_size_; }
  double small() const { return 0.86 * text_size_; }
  double margin() const { return text_size_; }
  double width() const { return chart_.width; }
  double height() const { return chart_.height; }

  Chart finish(std::string description);

 private:
  Chart chart_;
  const TextMeasure& measure_;
  double text_size_;
  std::vector<Box> taken_;
};

// Round numbers from at or below `low` to at or above `high`, about `wanted` of them; steps of 1, 2
// or 5 times a power of ten. low < high; wanted >= 2.
std::vector<double> round_steps(double low, double high, int wanted);

}  // namespace lastlook::analytics
