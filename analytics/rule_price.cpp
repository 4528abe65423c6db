// SPDX-License-Identifier: Apache-2.0
#include "analytics/rule_price.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace lastlook::analytics {
namespace {

constexpr double kTouching = 1e-9;

// Adds up the probability of no alarm so far until it falls geometrically, then adds the rest of
// the series at once. `survive` makes one step and says what is left.
template <class Survive>
double mean_wait(Survive survive) {
  constexpr int kMostSteps = 5000;
  double wait = 1;
  double left = 1;
  double ratio = 0;
  for (int step = 0; step < kMostSteps; ++step) {
    const double next = survive();
    if (next <= 0) return wait;
    const double now = next / left;
    wait += next;
    left = next;
    if (step > 40 && std::abs(now - ratio) < 1e-15) break;
    ratio = now;
  }
  return left / ratio >= 1 && ratio >= 1 ? HUGE_VAL : wait + left * ratio / (1 - ratio);
}

// Steps of one kind in a row over independent draws from `p`: the mass at each last value, by
// direction of the last step and by how many fitting steps lead to it.
class StepChain {
 public:
  // `turning`: steps must change direction each time; else they must keep it.
  StepChain(std::vector<double> p, std::size_t needed, bool turning)
      : p_(std::move(p)),
        needed_(needed),
        turning_(turning),
        level_(p_),
        up_(blank()),
        down_(blank()) {}

  double next() {
    auto new_up = blank();
    auto new_down = blank();
    std::vector<double> new_level(p_.size());
    for (std::size_t y = 0; y < p_.size(); ++y) {
      new_level[y] = p_[y] * (level_[y] + at(up_, y) + at(down_, y));
    }
    sweep(up_, down_, new_up, true);
    sweep(down_, up_, new_down, false);
    up_ = std::move(new_up);
    down_ = std::move(new_down);
    level_ = std::move(new_level);
    double left = std::accumulate(level_.begin(), level_.end(), 0.0);
    for (const Layer* side : {&up_, &down_}) {
      for (const auto& values : *side) left += std::accumulate(values.begin(), values.end(), 0.0);
    }
    return left;
  }

 private:
  using Layer = std::vector<std::vector<double>>;  // [steps - 1][value]

  Layer blank() const { return Layer(needed_ - 1, std::vector<double>(p_.size())); }

  static double at(const Layer& layer, std::size_t value) {
    double sum = 0;
    for (const auto& values : layer) sum += values[value];
    return sum;
  }

  // Where a step in this direction leads: one fitting step more, or the first of its kind.
  void sweep(const Layer& same, const Layer& opposite, Layer& to, bool upward) const {
    const Layer& fitting = turning_ ? opposite : same;
    const Layer& starting = turning_ ? same : opposite;
    std::vector<double> passed(needed_);  // by the number of steps so far; 0: starts anew
    const std::size_t n = p_.size();
    for (std::size_t i = 0; i < n; ++i) {
      const std::size_t y = upward ? i : n - 1 - i;
      for (std::size_t s = 0; s + 1 < needed_; ++s) to[s][y] = p_[y] * passed[s];
      passed[0] += level_[y] + at(starting, y);
      for (std::size_t s = 1; s < needed_; ++s) passed[s] += fitting[s - 1][y];
    }
  }

  std::vector<double> p_;
  std::size_t needed_;
  bool turning_;
  std::vector<double> level_;  // after a step that was none, or at the start
  Layer up_;
  Layer down_;
};

double wait_for_steps(const std::vector<Outcome>& outcomes, std::size_t needed, bool turning) {
  std::vector<double> p;
  for (const Outcome& outcome : outcomes) p.push_back(outcome.probability);
  StepChain chain(std::move(p), needed, turning);
  return 1 + mean_wait([&] { return chain.next(); });  // the first point makes no step
}

// In a row off the middle, on both sides. The run so far, and the sides that it has touched.
double wait_for_mixture(const std::vector<Outcome>& outcomes, std::size_t needed) {
  double above = 0;
  double below = 0;
  for (const Outcome& outcome : outcomes) {
    if (outcome.z > 1 + kTouching) above += outcome.probability;
    if (outcome.z < -1 - kTouching) below += outcome.probability;
  }
  const double middle = 1 - above - below;
  // One-sided runs may be longer than needed; the run that signals has both sides in its last
  // points, so for a run that was one-sided the length counts up to the needed one less one.
  double none = 1;
  std::vector<double> high(needed);  // all above so far, by length up to needed - 1
  std::vector<double> low(needed);
  std::vector<double> both(needed);
  return mean_wait([&] {
    std::vector<double> new_high(needed);
    std::vector<double> new_low(needed);
    std::vector<double> new_both(needed);
    double total = none;
    for (std::size_t i = 1; i < needed; ++i) total += high[i] + low[i] + both[i];
    new_high[1] = none * above;
    new_low[1] = none * below;
    for (std::size_t i = 1; i < needed; ++i) {
      const std::size_t longer = std::min(i + 1, needed - 1);
      new_high[longer] += high[i] * above;
      new_low[longer] += low[i] * below;
      if (i + 1 == needed) continue;  // both sides in a run long enough: a signal
      new_both[i + 1] += both[i] * (above + below) + high[i] * below + low[i] * above;
    }
    none = total * middle;
    high = std::move(new_high);
    low = std::move(new_low);
    both = std::move(new_both);
    double left = none;
    for (std::size_t i = 1; i < needed; ++i) left += high[i] + low[i] + both[i];
    return left;
  });
}

std::vector<double> waits_of(Question question, const std::vector<Outcome>& outcomes) {
  std::vector<Outcome> inside = outcomes;
  for (Outcome& outcome : inside) outcome.outside = false;
  std::vector<double> waits;
  if (const auto rules = zone_rules(question); !rules.empty()) {
    waits.push_back(average_run_length(rules, inside).value_or(HUGE_VAL));
  }
  if (question == Question::drift) waits.push_back(wait_for_steps(inside, kStepsOneWay, false));
  if (question == Question::cycle) {
    waits.push_back(wait_for_steps(inside, kTurningPoints - 1, true));
    waits.push_back(wait_for_mixture(inside, kMixedPoints));
  }
  return waits;
}

}  // namespace

double points_between_false_alarms(Question question, const std::vector<Outcome>& outcomes) {
  double rate = 0;
  for (const double wait : waits_of(question, outcomes)) rate += 1 / wait;
  return rate > 0 ? 1 / rate : HUGE_VAL;
}

Result<std::vector<Outcome>> outcomes_of(const AttributeChart& chart) {
  if (chart.kind == ChartKind::p_prime || chart.kind == ChartKind::u_prime) {
    return fail(Category::refused,
                "false alarms of a prime chart cannot be computed from the binomial");
  }
  const ChartPhase& phase = chart.phases.back();
  std::vector<double> sizes;
  for (std::size_t i = phase.first; i < phase.end; ++i) {
    if (chart.points[i].size > 0) sizes.push_back(chart.points[i].size);
  }
  if (sizes.empty()) return fail(Category::refused, "no sample to take the size from");
  std::nth_element(sizes.begin(), sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2),
                   sizes.end());
  const double size = sizes[sizes.size() / 2];
  const bool exact = chart.limits == LimitKind::exact;
  const bool binomial = chart.kind == ChartKind::p || chart.kind == ChartKind::np;
  return binomial
             ? binomial_outcomes(static_cast<std::int64_t>(size), phase.rate, phase.rate, exact)
             : poisson_outcomes(phase.rate * size, phase.rate * size, exact);
}

Result<ChartPrice> price_of(const AttributeChart& chart, const std::vector<Question>& questions) {
  const Result<std::vector<Outcome>> outcomes = outcomes_of(chart);
  if (!outcomes) return tl::unexpected(outcomes.error());
  ChartPrice price;
  price.points_between_limits = average_run_length({}, *outcomes).value_or(HUGE_VAL);
  for (const Question question : questions) {
    price.questions.push_back({question, points_between_false_alarms(question, *outcomes)});
  }
  return price;
}

}  // namespace lastlook::analytics
