// SPDX-License-Identifier: Apache-2.0
#include "kiosk/reports/shift_charts.h"

#include <algorithm>

#include "analytics/control_chart_drawing.h"
#include "analytics/pareto_chart.h"

namespace lastlook::reports {
namespace {

// Abstract pixels: on A4 the page's column is 179 mm wide, so 14 of them are about 9 points.
constexpr double width_px = 760;
constexpr double most_bars = 10;
constexpr double bar_px = 29;
constexpr double bars_apart_from_them_px = 70;

}  // namespace

analytics::Chart findings_chart(const ShiftFacts& facts, const text::Strings& say) {
  const double bars = std::min(static_cast<double>(facts.findings.rows.size()), most_bars);
  analytics::ParetoChartOptions options;
  options.frame.width = width_px;
  options.frame.height = bars * bar_px + bars_apart_from_them_px;
  options.frame.title = say("report.most.chart");
  return analytics::pareto_chart(facts.findings, options, analytics::WideSansMeasure());
}

analytics::Chart usual_chart(const ShiftFacts& facts, const text::Strings& say) {
  analytics::ControlChartOptions options;
  options.frame.width = width_px;
  options.frame.height = 270;
  options.frame.title = say("report.usual.chart");
  analytics::AttributeChart chart = *facts.usual.by_shift;
  chart.notes.clear();  // the page says it in its own words
  return analytics::control_chart_drawing(chart, options, analytics::WideSansMeasure());
}

}  // namespace lastlook::reports
