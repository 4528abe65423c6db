// SPDX-License-Identifier: Apache-2.0
// What went wrong most: kinds of findings in order, with their share of the whole.
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "analytics/result.h"

namespace lastlook::analytics {

struct ParetoRow {
  int rank = 0;      // from 1, no two alike
  std::string name;  // of the kind
  std::int64_t count = 0;
  double value = 0;  // what the order is by: the count, or the count by weight
  double percent = 0;
  double cumulative_percent = 0;
  bool few = false;   // one of the few that make most of the whole
  bool rest = false;  // gathers what has no kind of its own; always last
};

struct ParetoTable {
  std::int64_t total = 0;  // findings
  double total_value = 0;
  std::vector<ParetoRow> rows;
  std::string few_rule;  // in words, with what it found
};

// Adds up kinds as they come, for files larger than memory.
class ParetoCounter {
 public:
  // `weight` is what one finding counts: 1, a severity's weight, a cost. count >= 0, weight >= 0.
  void add(std::string_view kind, std::int64_t count, double weight = 1);

  // Definition: kinds by falling value; percent = 100 value / total value; cumulative_percent adds
  //   them in that order. Kinds with the same name are one. A kind called like one of `rest_names`
  //   (in any case of ASCII letters) stands last whatever its value, for it is not a kind. The few:
  //   the fewest kinds from the top that together reach `few_percent` of the whole, with every kind
  //   tied to the last of them; none where that takes more than half of the kinds, for then nothing
  //   stands out.
  // Divisor: the total value of all kinds, the rest included.
  // Least n: one finding for percents.
  // Edges: nothing counted -> total 0, rows with 0 percent; ties by name (order of UTF-8 bytes).
  // Interval method: none; see compare_shares() for two periods.
  // Source: common practice; Juran's "vital few and useful many".
  ParetoTable table(const std::vector<std::string>& rest_names = default_rest_names(),
                    double few_percent = 80) const;

  static const std::vector<std::string>& default_rest_names();

 private:
  struct Sum {
    std::int64_t count = 0;
    double value = 0;
  };
  std::map<std::string, Sum, std::less<>> sums_;
};

// The rows with all but the largest kinds gathered in one last row "all the rest (7 kinds)".
//   At most `most_rows` rows; a table that fits is returned as it is. most_rows >= 2.
ParetoTable folded(const ParetoTable& table, std::size_t most_rows);

}  // namespace lastlook::analytics
