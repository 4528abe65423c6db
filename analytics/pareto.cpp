// SPDX-License-Identifier: Apache-2.0
#include "analytics/pareto.h"

#include <fmt/format.h>

#include <algorithm>

namespace lastlook::analytics {
namespace {

std::string lower(std::string_view text) {
  std::string out(text);
  for (char& c : out) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return out;
}

bool is_one_of(std::string_view name, const std::vector<std::string>& names) {
  return std::any_of(names.begin(), names.end(),
                     [&](const std::string& other) { return lower(name) == lower(other); });
}

// Percents and ranks from the order of the rows.
void fill_shares(ParetoTable& table) {
  double running = 0;
  int rank = 0;
  for (ParetoRow& row : table.rows) {
    row.rank = ++rank;
    running += row.value;
    if (table.total_value > 0) {
      row.percent = 100 * row.value / table.total_value;
      row.cumulative_percent = 100 * running / table.total_value;
    }
  }
  // A sum in another order may miss 100 in its last digit.
  if (table.total_value > 0 && !table.rows.empty()) table.rows.back().cumulative_percent = 100;
}

// How many of the leading rows reach the share, ties with the last of them included.
std::size_t leading_rows(const ParetoTable& table, double few_percent) {
  constexpr double kRounding = 1e-9;
  std::size_t count = 0;
  while (count < table.rows.size() && !table.rows[count].rest) {
    const ParetoRow& row = table.rows[count++];
    if (row.cumulative_percent + kRounding < few_percent) continue;
    while (count < table.rows.size() && !table.rows[count].rest &&
           table.rows[count].value == row.value) {
      ++count;
    }
    return count;
  }
  return 0;
}

void mark_few(ParetoTable& table, double few_percent) {
  const auto kinds = static_cast<std::size_t>(
      std::count_if(table.rows.begin(), table.rows.end(),
                    [](const ParetoRow& row) { return !row.rest && row.value > 0; }));
  if (kinds == 0) {
    table.few_rule = "nothing was found";
    return;
  }
  const std::size_t few = leading_rows(table, few_percent);
  const bool stand_out = few > 0 && 2 * few <= std::max<std::size_t>(kinds, 2);
  if (!stand_out) {
    table.few_rule =
        fmt::format("no few stand out: it takes more than half of the {} kinds to reach {:g} %",
                    kinds, few_percent);
    return;
  }
  for (std::size_t i = 0; i < few; ++i) table.rows[i].few = true;
  table.few_rule = fmt::format("the few: the {} of {} kinds that reach {:g} % of the whole", few,
                               kinds, few_percent);
}

}  // namespace

const std::vector<std::string>& ParetoCounter::default_rest_names() {
  static const std::vector<std::string> names = {"other", "others", "something else",
                                                 "all the rest"};
  return names;
}

void ParetoCounter::add(std::string_view kind, std::int64_t count, double weight) {
  auto found = sums_.find(kind);
  if (found == sums_.end()) found = sums_.emplace(std::string(kind), Sum{}).first;
  found->second.count += count;
  found->second.value += static_cast<double>(count) * weight;
}

ParetoTable ParetoCounter::table(const std::vector<std::string>& rest_names,
                                 double few_percent) const {
  ParetoTable table;
  for (const auto& [name, sum] : sums_) {
    ParetoRow row;
    row.name = name;
    row.count = sum.count;
    row.value = sum.value;
    row.rest = is_one_of(name, rest_names);
    table.total += sum.count;
    table.total_value += sum.value;
    table.rows.push_back(std::move(row));
  }
  // The map is in order of names, so equal values keep it.
  std::stable_sort(table.rows.begin(), table.rows.end(),
                   [](const ParetoRow& a, const ParetoRow& b) {
                     return a.rest != b.rest ? b.rest : a.value > b.value;
                   });
  fill_shares(table);
  mark_few(table, few_percent);
  return table;
}

ParetoTable folded(const ParetoTable& table, std::size_t most_rows) {
  if (table.rows.size() <= most_rows || most_rows < 2) return table;
  ParetoTable out = table;
  ParetoRow rest;
  rest.rest = true;
  rest.name = fmt::format("all the rest ({} kinds)", table.rows.size() - (most_rows - 1));
  out.rows.resize(most_rows - 1);
  for (std::size_t i = most_rows - 1; i < table.rows.size(); ++i) {
    rest.count += table.rows[i].count;
    rest.value += table.rows[i].value;
  }
  out.rows.push_back(std::move(rest));
  fill_shares(out);
  return out;
}

}  // namespace lastlook::analytics
