// SPDX-License-Identifier: Apache-2.0
#include "analytics/multiplicity.h"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>

namespace lastlook::analytics {
namespace {

std::vector<std::size_t> rising_order(const std::vector<double>& values) {
  std::vector<std::size_t> order(values.size());
  std::iota(order.begin(), order.end(), 0U);
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return values[a] < values[b]; });
  return order;
}

}  // namespace

std::vector<double> holm(const std::vector<double>& p_values) {
  const auto order = rising_order(p_values);
  std::vector<double> out(p_values.size());
  double running = 0;
  for (std::size_t i = 0; i < order.size(); ++i) {
    const double factor = static_cast<double>(order.size() - i);
    running = std::max(running, std::min(1.0, factor * p_values[order[i]]));
    out[order[i]] = running;
  }
  return out;
}

std::vector<double> benjamini_hochberg(const std::vector<double>& p_values) {
  const auto order = rising_order(p_values);
  std::vector<double> out(p_values.size());
  double running = 1;
  for (std::size_t i = order.size(); i-- > 0;) {
    const double factor = static_cast<double>(order.size()) / static_cast<double>(i + 1);
    running = std::min(running, factor * p_values[order[i]]);
    out[order[i]] = running;
  }
  return out;
}

std::string p_in_words(double p_value) {
  return p_value < 0.0001 ? "p < 0.0001" : fmt::format("p {:.2g}", p_value);
}

}  // namespace lastlook::analytics
