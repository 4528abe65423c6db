// SPDX-License-Identifier: Apache-2.0
// The largest value of a linear function over points that meet equations and are not negative.
#pragma once

#include <vector>

#include "analytics/result.h"

namespace lastlook::analytics {

// Definition: the maximum of gain . x over x >= 0 with each equation's coefficients . x = its
//   value. `equations` and `values` have one entry an equation; every row is as long as `gain`.
// Divisor: none.
// Least n: one unknown.
// Edges: no such x -> refused; no largest value -> refused; rows of other lengths -> bad_input.
//   Equations may repeat each other.
// Interval method: none.
// Source: the simplex method in two phases, pivots by Bland's rule (1977), which cannot cycle.
Result<double> largest(const std::vector<double>& gain,
                       const std::vector<std::vector<double>>& equations,
                       const std::vector<double>& values);

}  // namespace lastlook::analytics
