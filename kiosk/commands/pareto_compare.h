// SPDX-License-Identifier: Apache-2.0
// Two periods of findings side by side: what really changed.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "analytics/comparison.h"
#include "kiosk/commands/findings.h"
#include "kiosk/commands/reply.h"

namespace lastlook::commands {

// Adds up one period, cell by cell and batch by batch. Findings: cells of every level that the
// drill-down reaches. Units: the innermost level only, for a unit may have several findings.
class PeriodCounter {
 public:
  explicit PeriodCounter(bool units) : units_(units) {}
  void add(const Finding& finding);

  using Counts = std::map<std::string, std::int64_t>;
  const Counts& cells() const { return cells_; }
  const std::map<std::string, Counts>& batches() const { return batches_; }
  std::int64_t findings(const std::string& batch) const { return batch_totals_.at(batch); }
  std::int64_t findings() const { return total_; }

 private:
  bool units_;
  Counts cells_;
  std::map<std::string, Counts> batches_;
  Counts batch_totals_;
  std::int64_t total_ = 0;
};

struct CompareAsk {
  bool units = false;          // counts are units, of those inspected; else findings, of all
  std::int64_t inspected = 0;  // units of the period
  std::int64_t inspected_before = 0;
  bool batches = false;
  std::string correction = "holm";  // or benjamini-hochberg
  std::uint64_t seed = 1;
};

// What the two periods say; errors as compare_shares() and compare_batches().
struct Compared {
  std::vector<analytics::Difference> rows;  // those that changed first
  std::string rule;                         // how it was decided, in words
};
Result<Compared> compare(const PeriodCounter& now, const PeriodCounter& before,
                         const CompareAsk& ask);

Json comparison_json(const Compared& compared, const CompareAsk& ask);
Reply comparison_reply(const Compared& compared, const CompareAsk& ask);
analytics::Chart comparison_drawing(const Compared& compared);

}  // namespace lastlook::commands
