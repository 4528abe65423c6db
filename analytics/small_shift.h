// SPDX-License-Identifier: Apache-2.0
// Charts that add up what single points are too weak to show: EWMA and CUSUM of standardised
// values.
//
// Every sample counts as its distance from the centre in sigmas, so that samples of all sizes go
// together. How rare a false alarm is comes from the binomial or Poisson of the median sample, for
// at small counts the normal would promise too much.
#pragma once

#include <functional>
#include <vector>

#include "analytics/control_chart.h"
#include "analytics/zone_rules.h"

namespace lastlook::analytics {

// P(Z <= z) of one point.
using Cdf = std::function<double(double)>;
Cdf normal_points(double shift = 0);           // mean moved by so many sigmas
Cdf points_of(std::vector<Outcome> outcomes);  // of counts, see zone_rules.h

// Definition: E_t = lambda z_t + (1 - lambda) E_(t-1), E_0 = 0; alarm where |E| exceeds width times
//   its long-run sigma, sqrt(lambda / (2 - lambda)). Mean number of points to the alarm, from E =
//   0.
// Divisor: none.
// Least n: none.
// Edges: lambda outside (0, 1], width not above 0 -> bad_input; an alarm that cannot come ->
//   infinity.
// Interval method: none; a Markov chain of 221 states, within 2 in a thousand of the integral
//   equation for weights from 0.05.
// Source: Lucas & Saccucci (1990) Technometrics 32:1.
Result<double> ewma_run_length(double lambda, double width, const Cdf& points);

// Definition: C_t = max(0, C_(t-1) + z_t - allowance); alarm where C exceeds limit; and the same
//   for falls. Both at once: the rates of the two sides add up. In sigmas; from C = 0.
// Divisor: none.
// Least n: none.
// Edges: allowance below 0, limit below 0 -> bad_input.
// Interval method: none.
// Source: Page (1954); chain of Brook & Evans (1972) Biometrika 59:539; sum of the sides: Kemp
//   (1961).
Result<double> cusum_run_length(double allowance, double limit, const Cdf& points);

enum class SmallShiftKind { ewma, cusum };

struct SmallShiftOptions {
  SmallShiftKind kind = SmallShiftKind::ewma;
  double lambda = 0.1;          // of the EWMA: the weight of the newest point
  double shift = 1;             // of the CUSUM: what it is to catch, in sigmas; allowance is half
  double false_alarm_at = 370;  // points between false alarms, on average; above 1
};

// Definition: EWMA or CUSUM of the distances of `chart` from its own centre, phase by phase. Value:
//   E, or C of rises with `down` as minus C of falls. Limits: the narrowest, the same on both
//   sides, whose false alarms are at least so far apart.
// Divisor: none.
// Least n: as the chart beneath.
// Edges: a point without distance leaves the sum as it is, and so does an excluded one; prime
//   charts -> z is already widened, normal points taken. A CUSUM's reason names the sample from
//   which it rose. Limits that cannot be found -> refused.
// Interval method: none.
// Source: as above; Montgomery, Introduction to Statistical Quality Control, ch. 9.
Result<AttributeChart> small_shift_chart(const AttributeChart& chart,
                                         const SmallShiftOptions& options);

}  // namespace lastlook::analytics
