// SPDX-License-Identifier: Apache-2.0
// Yield: units right at the first look, steps in a row, defects per unit and per opportunity.
#pragma once

#include <cstdint>
#include <vector>

#include "analytics/interval.h"
#include "analytics/result.h"

namespace lastlook::analytics {

struct Rate {
  std::int64_t hits = 0;
  std::int64_t units = 0;
  double value = 0;
  Interval limits;
};

// Definition: share of units whose first look was conforming. Count each unit once, by its first
//   look only; challenge, study and second looks stay out.
// Divisor: units with a finished first look.
// Least n: 1.
// Edges: no units -> bad_input; all conforming -> value 1, upper limit 1, lower limit still below
//   1.
// Interval method: Wilson score.
// Source: Newcombe (1998) Stat Med 17:857-872, method 3.
Result<Rate> first_pass_yield(std::int64_t conforming_first_looks, std::int64_t first_looks,
                              double confidence = kConfidence);

struct DefectRates {
  double per_unit = 0;         // DPU
  double per_opportunity = 0;  // DPO
  double per_million = 0;      // DPMO
  Interval per_unit_limits;
  Interval per_million_limits;
  double throughput_yield = 0;  // exp(-DPU): probability of a unit without defect
  Interval throughput_yield_limits;
};

// Definition: DPU = defects / units; DPO = DPU / opportunities a unit; DPMO = a million DPO;
//   throughput yield = exp(-DPU), taking defects to fall on units independently (Poisson).
// Divisor: units, or units times opportunities.
// Least n: 1 unit, 1 opportunity.
// Edges: no units or opportunities, negative defects -> bad_input; no defects -> 0 with an upper
//   limit.
// Interval method: exact Poisson limits of the count, carried through.
// Source: Garwood (1936); ISO 13053-1:2011 for DPMO (from memory).
Result<DefectRates> defect_rates(std::int64_t defects, std::int64_t units,
                                 std::int64_t opportunities_a_unit = 1,
                                 double confidence = kConfidence);

struct StepYield {
  double value = 0;
  Interval limits;
};

struct RolledYield {
  double value = 0;
  Result<Interval> limits;
};

// Definition: probability that a unit passes every step at the first try: the product of the steps'
//   yields, first-pass or throughput.
// Divisor: none.
// Least n: one step.
// Edges: no steps, or a yield or limit outside [0, 1] -> bad_input; a step's yield of 0 -> no
//   limits, with the reason. Steps are taken as independent.
// Interval method: distances of the logarithms to the steps' limits, added as squares (MOVER); of
//   one step its own limits.
// Source: common practice; Zou & Donner (2008) Stat Med 27:1693.
Result<RolledYield> rolled_yield(const std::vector<StepYield>& steps);

}  // namespace lastlook::analytics
