// SPDX-License-Identifier: Apache-2.0
// Where on the product defects gather: findings on its picture, those that lie close together as
// one larger symbol with their number.
#pragma once

#include <string>
#include <vector>

#include "analytics/chart_layout.h"

namespace lastlook::analytics {

struct PlacedFinding {
  std::string kind;
  double x = 0;  // fraction of the picture's width, 0 to 1 from the left
  double y = 0;  // of its height, from above
  std::int64_t count = 1;
  bool severe = false;  // drawn as a diamond, else as a dot
};

struct ConcentrationOptions {
  ChartFrame frame;
  double picture_width = 4;  // only their ratio matters
  double picture_height = 3;
  std::string picture;  // a data URI; empty: an empty frame stands for the product
};

// Of the picture's width: about a fingertip on the product, as exact as a touch is.
inline constexpr double kFingertip = 0.045;

// A place where findings gather.
struct Gathering {
  double x = 0;  // of its findings, by their counts
  double y = 0;
  std::int64_t count = 0;
  std::string kind;  // the most frequent there; ties by name
  bool severe = false;
};

// Definition: starting with the most frequent, each finding joins the first gathering whose middle
//   is no further than `reach` (as a fraction of the picture's width), or makes a new one.
// Divisor: none.
// Least n: none.
// Edges: none -> empty; places outside 0 to 1 are moved to the edge.
// Interval method: none: a crowd on the picture is a hint where to look, not a proof.
// Source: the defect concentration diagram, common practice.
std::vector<Gathering> gather(std::vector<PlacedFinding> findings, double reach, double aspect);

// The largest gatherings are named in a list beside the picture, or below it where the page is
// narrow, as many as fit; text never overlaps.
Chart concentration_chart(const std::vector<PlacedFinding>& findings,
                          const ConcentrationOptions& options, const TextMeasure& measure);

}  // namespace lastlook::analytics
