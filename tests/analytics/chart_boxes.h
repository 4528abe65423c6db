// SPDX-License-Identifier: Apache-2.0
// Measures a laid-out chart: is all text on the page, and does any of it touch another?
#pragma once

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "analytics/marks.h"

namespace lastlook::analytics {

inline std::vector<Text> texts(const Chart& chart) {
  std::vector<Text> out;
  for (const Mark& mark : chart.marks) {
    if (const auto* text = std::get_if<Text>(&mark)) out.push_back(*text);
  }
  return out;
}

inline std::vector<std::string> texts_of(const Chart& chart, Role role) {
  std::vector<std::string> out;
  for (const Text& text : texts(chart)) {
    if (text.role == role) out.push_back(text.text);
  }
  return out;
}

inline std::vector<Bar> bars(const Chart& chart) {
  std::vector<Bar> out;
  for (const Mark& mark : chart.marks) {
    if (const auto* bar = std::get_if<Bar>(&mark)) out.push_back(*bar);
  }
  return out;
}

inline void expect_clean(const Chart& chart, const TextMeasure& measure) {
  const std::vector<Text> all = texts(chart);
  for (std::size_t i = 0; i < all.size(); ++i) {
    const Box box = box_of(all[i], measure);
    EXPECT_GE(box.x, -0.01) << all[i].text;
    EXPECT_GE(box.y, -0.01) << all[i].text;
    EXPECT_LE(box.x + box.width, chart.width + 0.01) << all[i].text;
    EXPECT_LE(box.y + box.height, chart.height + 0.01) << all[i].text;
    for (std::size_t j = i + 1; j < all.size(); ++j) {
      EXPECT_FALSE(overlap(box, box_of(all[j], measure)))
          << "'" << all[i].text << "' over '" << all[j].text << "' at " << chart.width << " x "
          << chart.height;
    }
  }
}

// From a small tile to a large screen.
inline const std::vector<std::pair<double, double>> kSizes = {
    {360, 240}, {480, 320}, {800, 450}, {1280, 800}, {1920, 1080}};

}  // namespace lastlook::analytics
