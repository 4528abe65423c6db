// SPDX-License-Identifier: Apache-2.0
#include "analytics/zone_rules.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <set>

#include "analytics/distributions.h"

namespace lastlook::analytics {
namespace {

constexpr double kTouching = 1e-9;
constexpr std::size_t kMostStates = 4000;

// Which of the last points were beyond a border, the newest in bit 0. One word for each rule and
// side.
using State = std::vector<std::uint32_t>;

// A point that can no longer take part in a run is forgotten, so that few states remain.
std::uint32_t useful(std::uint32_t hits, const ZoneRule& rule) {
  std::uint32_t kept = 0;
  std::size_t newer = 0;
  for (std::size_t age = 0; age + 1 < rule.of; ++age) {
    if ((hits >> age & 1U) == 0) continue;
    const std::size_t to_come =
        rule.of - 1 - age;  // points that still share a window with this one
    if (newer + 1 + to_come < rule.needed) break;
    ++newer;
    kept |= 1U << age;
  }
  return kept;
}

// Where an outcome leads, or nowhere when a rule is met.
bool step(const State& from, const std::vector<ZoneRule>& rules, const Outcome& outcome,
          State& to) {
  if (outcome.outside) return false;
  to.clear();
  for (std::size_t r = 0; r < rules.size(); ++r) {
    for (std::size_t side = 0; side < 2; ++side) {
      const double z = side == 0 ? outcome.z : -outcome.z;
      const std::uint32_t window =
          from[2 * r + side] << 1U | (z > rules[r].border + kTouching ? 1U : 0U);
      if (static_cast<std::size_t>(__builtin_popcount(window)) >= rules[r].needed) return false;
      to.push_back(useful(window, rules[r]));
    }
  }
  return true;
}

// Outcomes that every rule sees alike are one.
std::vector<Outcome> merged(const std::vector<ZoneRule>& rules,
                            const std::vector<Outcome>& outcomes) {
  std::map<std::vector<int>, Outcome> kinds;
  for (const Outcome& outcome : outcomes) {
    if (outcome.probability <= 0) continue;
    std::vector<int> pattern = {outcome.outside ? 1 : 0};
    for (const ZoneRule& rule : rules) {
      pattern.push_back(outcome.z > rule.border + kTouching    ? 1
                        : -outcome.z > rule.border + kTouching ? -1
                                                               : 0);
    }
    Outcome& kind =
        kinds.try_emplace(pattern, Outcome{outcome.z, 0, outcome.outside}).first->second;
    kind.probability += outcome.probability;
  }
  std::vector<Outcome> out;
  for (const auto& [pattern, kind] : kinds) out.push_back(kind);
  return out;
}

// The chain: for each state, where it goes with which probability. What is missing to 1 is a
// signal.
struct Chain {
  std::vector<std::map<std::size_t, double>> rows;
};

Result<Chain> build_chain(const std::vector<ZoneRule>& rules,
                          const std::vector<Outcome>& outcomes) {
  Chain chain;
  std::map<State, std::size_t> number;
  std::vector<State> states = {State(2 * rules.size())};
  number[states[0]] = 0;
  State to;
  for (std::size_t at = 0; at < states.size(); ++at) {
    chain.rows.emplace_back();
    for (const Outcome& outcome : outcomes) {
      if (!step(states[at], rules, outcome, to)) continue;
      const auto [found, is_new] = number.try_emplace(to, states.size());
      if (is_new) states.push_back(to);
      chain.rows[at][found->second] += outcome.probability;
    }
    if (states.size() > kMostStates) {
      return fail(Category::refused, "these rules together have too many states to count exactly");
    }
  }
  return chain;
}

// Solves (I - Q) L = 1 for the first state by eliminating states from the last to the first. States
// found late lead mostly to early ones, so rows stay short.
double mean_steps(Chain& chain) {
  const std::size_t n = chain.rows.size();
  std::vector<double> steps(n, 1);
  std::vector<std::set<std::size_t>> users(n);  // rows that lead to a state
  for (std::size_t i = 0; i < n; ++i) {
    for (const auto& [to, p] : chain.rows[i]) users[to].insert(i);
  }
  for (std::size_t k = n; k-- > 0;) {
    auto& row = chain.rows[k];
    // Leaving probability as a sum, not as 1 minus the staying one, would be better still; the
    // rules here leave at rates far above rounding.
    const auto self = row.find(k);
    const double stay = self == row.end() ? 0 : self->second;
    if (self != row.end()) row.erase(self);
    if (1 - stay <= 0) return HUGE_VAL;
    for (auto& [to, p] : row) p /= 1 - stay;
    steps[k] /= 1 - stay;
    for (const std::size_t user : users[k]) {
      if (user >= k) continue;
      const auto link = chain.rows[user].find(k);
      if (link == chain.rows[user].end()) continue;
      const double weight = link->second;
      chain.rows[user].erase(link);
      steps[user] += weight * steps[k];
      for (const auto& [to, p] : row) {
        chain.rows[user][to] += weight * p;
        users[to].insert(user);
      }
    }
  }
  return steps[0];
}

// Beyond these quantiles lies less than can be told from nothing.
constexpr double kNothing = 1e-15;

// More counts than this are taken as a normal distribution, cut into cells: with a standard
// deviation of 500 and more its skewness changes the tail beyond three of them by less than 1 %.
constexpr std::int64_t kMostCounts = 8192;

struct Spread {
  double mean = 0, sigma = 0;
};

std::vector<Outcome> normal_cells(const Spread& is, const Spread& limits_for) {
  constexpr int kCells = 4096;
  constexpr double kReach = 8;  // standard deviations
  std::vector<Outcome> out;
  for (int i = 0; i < kCells; ++i) {
    const double from = kReach * (2.0 * i / kCells - 1);
    const double to = kReach * (2.0 * (i + 1) / kCells - 1);
    const double off = is.mean + is.sigma * (from + to) / 2 - limits_for.mean;
    const double z = limits_for.sigma > 0 ? off / limits_for.sigma : 0;
    out.push_back({z, normal_cdf(to) - normal_cdf(from), std::abs(z) > kBeyondLimit.border});
  }
  return out;
}

template <class Probability>
std::vector<Outcome> count_outcomes(std::int64_t least, std::int64_t most, double centre,
                                    double sigma, std::int64_t low, std::int64_t high,
                                    bool exact_limits, Probability probability) {
  std::vector<Outcome> out;
  for (std::int64_t x = least; x <= most; ++x) {
    const double z = sigma > 0 ? (static_cast<double>(x) - centre) / sigma : 0;
    const bool outside =
        exact_limits ? x < low || x > high : std::abs(z) > kBeyondLimit.border + kTouching;
    out.push_back({z, probability(x), outside});
  }
  return out;
}

}  // namespace

std::vector<Outcome> normal_outcomes(const std::vector<ZoneRule>& rules, double shift) {
  std::set<double> borders = {0};
  for (const ZoneRule& rule : rules) borders.insert({rule.border, -rule.border});
  std::vector<Outcome> out;
  double from = -HUGE_VAL;
  for (const double to : borders) {
    const double middle = std::isinf(from) ? to - 1 : (from + to) / 2;
    out.push_back({middle,
                   normal_cdf(to - shift) - (std::isinf(from) ? 0 : normal_cdf(from - shift)),
                   false});
    from = to;
  }
  out.push_back({from + 1, normal_cdf(shift - from), false});
  return out;
}

std::vector<Outcome> binomial_outcomes(std::int64_t n, double p, double centre, bool exact_limits) {
  const double tail = normal_cdf(-kBeyondLimit.border);
  const auto units = static_cast<double>(n);
  const Spread limits_for{units * centre, std::sqrt(units * centre * (1 - centre))};
  const std::int64_t least = std::max<std::int64_t>(binomial_quantile(kNothing, n, p) - 1, 0);
  const std::int64_t most = std::min(binomial_quantile(1 - kNothing, n, p) + 1, n);
  if (most - least > kMostCounts)
    return normal_cells({units * p, std::sqrt(units * p * (1 - p))}, limits_for);
  return count_outcomes(least, most, limits_for.mean, limits_for.sigma,
                        binomial_quantile(tail, n, centre), binomial_quantile(1 - tail, n, centre),
                        exact_limits, [&](std::int64_t x) { return binomial_pmf(x, n, p); });
}

std::vector<Outcome> poisson_outcomes(double mean, double centre, bool exact_limits) {
  const double tail = normal_cdf(-kBeyondLimit.border);
  const std::int64_t least = std::max<std::int64_t>(poisson_quantile(kNothing, mean) - 1, 0);
  const std::int64_t most = poisson_quantile(1 - kNothing, mean) + 1;
  if (most - least > kMostCounts)
    return normal_cells({mean, std::sqrt(mean)}, {centre, std::sqrt(centre)});
  return count_outcomes(least, most, centre, std::sqrt(centre), poisson_quantile(tail, centre),
                        poisson_quantile(1 - tail, centre), exact_limits,
                        [&](std::int64_t x) { return poisson_pmf(x, mean); });
}

Result<double> average_run_length(const std::vector<ZoneRule>& rules,
                                  const std::vector<Outcome>& outcomes) {
  Result<Chain> chain = build_chain(rules, merged(rules, outcomes));
  if (!chain) return tl::unexpected(chain.error());
  return mean_steps(*chain);
}

}  // namespace lastlook::analytics
