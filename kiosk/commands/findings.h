// SPDX-License-Identifier: Apache-2.0
// Findings from a table, however large, for what counts them.
#pragma once

#include <functional>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "analytics/result.h"

namespace lastlook::commands {

using SeverityWeights = std::map<std::string, double, std::less<>>;

struct FindingQuery {
  std::vector<std::string> kinds = {"defect"};  // columns; several are nested, the first outermost
  std::map<std::string, std::string> where;     // column and the value that a row must have
  std::string by = "count";                     // or severity, or cost
  std::string weights_text;                     // as given, for messages
  SeverityWeights weights;                      // of severities
  std::string batch;                            // column that names the batch; empty: none
};

struct Finding {  // views live until the next
  std::vector<std::string_view> kinds;
  std::int64_t count = 1;
  double weight = 1;
  std::string_view batch;
};

using OnFinding = std::function<void(const Finding&)>;

// Errors name file, line and column.
Status read_findings(const std::string& file, const FindingQuery& query, const OnFinding& each);

// "critical=10,major=3" as a map.
Result<SeverityWeights> parse_weights(const std::string& text);

// "lid: scratch" of the first `levels` kinds.
std::string nested_name(const Finding& finding, std::size_t levels);

}  // namespace lastlook::commands
