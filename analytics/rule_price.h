// SPDX-License-Identifier: Apache-2.0
// What a question costs: how often its rules speak although nothing has changed.
#pragma once

#include <vector>

#include "analytics/control_chart.h"
#include "analytics/zone_rules.h"

namespace lastlook::analytics {

// Definition: mean number of points from a fresh start to the first at which a rule of this
//   question is met, the process unchanged; exact for each rule, by Markov chains over the last
//   points. A question of several rules: the reciprocal of the sum of their rates, so the true wait
//   is at least as long. `outcomes` are the values that a point can take, see zone_rules.h; points
//   outside a limit do not count here, they are priced by average_run_length({}, outcomes).
// Divisor: none.
// Least n: none.
// Edges: a rule that can never be met -> infinity.
// Interval method: none.
// Source: Champ & Woodall (1987) for rules on borders; for steps and turns a chain of the same kind
//   over the last value, summed until it decays geometrically.
double points_between_false_alarms(Question question, const std::vector<Outcome>& outcomes);

struct QuestionPrice {
  Question question;
  double points_between = 0;
};

struct ChartPrice {
  double points_between_limits = 0;  // points outside a limit alone
  std::vector<QuestionPrice> questions;
};

// What a point of the chart's last phase can be while nothing has changed, for its median sample
// size. Prime charts -> refused: how their rate wanders is not known as a distribution.
Result<std::vector<Outcome>> outcomes_of(const AttributeChart& chart);

// Of a chart's last phase, for its median sample size. Prime charts -> refused: how their rate
// wanders is not known as a distribution.
Result<ChartPrice> price_of(const AttributeChart& chart, const std::vector<Question>& questions);

}  // namespace lastlook::analytics
