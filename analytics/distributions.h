// SPDX-License-Identifier: Apache-2.0
// The probability distributions used here, by Boost.Math, with one behaviour at their edges.
// Nothing throws. A lower tail is P(X <= x), an upper tail P(X >= x) for counts.
#pragma once

#include <cstdint>

namespace lastlook::analytics {

double normal_cdf(double z);
double normal_quantile(double probability);  // probability in (0, 1)

double chi_squared_upper_tail(double x, double degrees_of_freedom);

// Counts of n units, each with probability p in [0, 1].
double binomial_pmf(std::int64_t x, std::int64_t n, double p);
double binomial_lower_tail(std::int64_t x, std::int64_t n, double p);
double binomial_upper_tail(std::int64_t x, std::int64_t n, double p);
// The smallest x with P(X <= x) >= probability.
std::int64_t binomial_quantile(double probability, std::int64_t n, double p);

// Counts with this mean, mean >= 0.
double poisson_pmf(std::int64_t x, double mean);
double poisson_lower_tail(std::int64_t x, double mean);
double poisson_upper_tail(std::int64_t x, double mean);
std::int64_t poisson_quantile(double probability, double mean);

// Quantile of the beta distribution; a, b > 0.
double beta_quantile(double probability, double a, double b);
// Quantile of the gamma distribution with scale 1; shape > 0.
double gamma_quantile(double probability, double shape);

}  // namespace lastlook::analytics
