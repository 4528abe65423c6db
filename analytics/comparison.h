// SPDX-License-Identifier: Apache-2.0
// What really changed between two periods: shares compared cell by cell, with an interval for each
// difference and p-values corrected for every cell that was looked at.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "analytics/bootstrap.h"
#include "analytics/interval.h"
#include "analytics/result.h"

namespace lastlook::analytics {

enum class Correction {
  holm,                // no false alarm at all, at the level
  benjamini_hochberg,  // at most this share of the alarms is false
};

struct ComparisonOptions {
  Correction correction = Correction::holm;
  double confidence = kConfidence;  // of each interval; the level of the tests is what it leaves
  BootstrapOptions resampling;      // for batches
};

struct Difference {
  std::string name;
  Share before;
  Share after;
  double value = 0;         // share after - share before
  Result<Interval> limits;  // of this cell alone, not widened for the others
  double p_value = 1;
  double adjusted_p = 1;  // over all cells
  bool changed = false;   // adjusted_p at most the level
};

struct Cell {
  std::string name;
  Share before;
  Share after;
};

// Definition: two-sided exact p-value of equal shares: the probability, both margins fixed, of all
//   tables that are at most as probable as the one seen.
// Divisor: none.
// Least n: none.
// Edges: no units in one of them -> 1; hits outside [0, units] -> bad_input.
// Interval method: none.
// Source: Fisher (1935); the two-sided form of Irwin (1935), as in common libraries.
Result<double> fisher_exact(Share a, Share b);

// Definition: difference of the shares of each cell; p by fisher_exact(), corrected over all cells.
// Divisor: each period's units.
// Least n: 1 unit in each period.
// Edges: no units in a period, hits outside [0, units] -> bad_input; a cell without hits in both ->
//   difference 0, p 1. A share of a whole that the cells make up together (findings) goes down
//   where another goes up: what changed is then the mix.
// Interval method: Newcombe's hybrid score, see interval.h. It takes units as independent: where
//   they cluster by shift or batch use compare_batches().
// Source: Newcombe (1998) Stat Med 17:873-890, method 10; Holm (1979); Benjamini & Hochberg (1995).
Result<std::vector<Difference>> compare_shares(const std::vector<Cell>& cells,
                                               const ComparisonOptions& options = {});

// One shift, lot or other batch whose units go together.
struct Batch {
  std::vector<std::int64_t> hits;  // of each cell
  std::int64_t units = 0;
};

// Definition: as compare_shares(), with batches as what is drawn: the share of a period is the sum
//   of hits by the sum of units. p: share of 9,999 random exchanges of batches between the periods
//   whose difference is at least as far from 0, the data themselves counted in.
// Divisor: units of all batches of a period.
// Least n: 3 batches in each period, else refused.
// Edges: as compare_shares(); a difference that resampling never changes -> no limits, with the
//   reason. The smallest p-value is 1/10000, so more than 500 cells can show nothing at 5 %.
// Interval method: BCa over batches, each period resampled apart.
// Source: Efron & Tibshirani (1993) ch. 14 and 15; p-values: Phipson & Smyth (2010).
Result<std::vector<Difference>> compare_batches(const std::vector<std::string>& names,
                                                const std::vector<Batch>& before,
                                                const std::vector<Batch>& after,
                                                const ComparisonOptions& options = {});

}  // namespace lastlook::analytics
