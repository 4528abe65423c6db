// SPDX-License-Identifier: Apache-2.0
// Two judgements of the same things as a table: what both say on the diagonal, what only one says
// beside it. A cell has its count and, where things stand for more than themselves, for how many.
#pragma once

#include <string>
#include <vector>

#include "analytics/chart_layout.h"
#include "analytics/kappa.h"

namespace lastlook::analytics {

struct JudgementTable {
  std::string a, b;                // who judged: rows, columns
  std::vector<std::string> words;  // of the categories
  Matrix counts;                   // rows: a, columns: b
  Matrix weighted;                 // of no size, or the same as counts: nothing more to say
  std::string says;                // the sentence below
};

// Rows without anything in them are left out where more than two categories are there. Text never
// overlaps: it is cut to its cell.
Chart judgement_table_chart(const JudgementTable& table, const ChartFrame& frame,
                            const TextMeasure& measure);

}  // namespace lastlook::analytics
