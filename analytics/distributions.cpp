// SPDX-License-Identifier: Apache-2.0
#include "analytics/distributions.h"

#include <algorithm>
#include <boost/math/distributions/binomial.hpp>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/poisson.hpp>
#include <boost/math/special_functions/beta.hpp>
#include <boost/math/special_functions/gamma.hpp>
#include <cmath>
#include <functional>

namespace lastlook::analytics {
namespace {

namespace bm = boost::math;
namespace bp = boost::math::policies;

// The callers keep to the domains; at the far edges the nearest number serves better than a throw.
using Quiet =
    bp::policy<bp::domain_error<bp::ignore_error>, bp::pole_error<bp::ignore_error>,
               bp::overflow_error<bp::ignore_error>, bp::evaluation_error<bp::ignore_error>,
               bp::rounding_error<bp::ignore_error>>;
using Normal = bm::normal_distribution<double, Quiet>;
using Binomial = bm::binomial_distribution<double, Quiet>;
using Poisson = bm::poisson_distribution<double, Quiet>;

// Walks from a first guess to the smallest x in [0, top] with lower_tail(x) >= probability.
std::int64_t smallest_reaching(double probability, std::int64_t guess, std::int64_t top,
                               const std::function<double(std::int64_t)>& lower_tail) {
  std::int64_t x = std::clamp<std::int64_t>(guess, 0, top);
  while (x < top && lower_tail(x) < probability) ++x;
  while (x > 0 && lower_tail(x - 1) >= probability) --x;
  return x;
}

}  // namespace

double normal_cdf(double z) {
  return bm::cdf(Normal(), z);
}

double normal_quantile(double probability) {
  return bm::quantile(Normal(), probability);
}

double chi_squared_upper_tail(double x, double degrees_of_freedom) {
  if (x <= 0) return 1;
  return bm::gamma_q(degrees_of_freedom / 2, x / 2, Quiet());
}

double binomial_pmf(std::int64_t x, std::int64_t n, double p) {
  if (x < 0 || x > n) return 0;
  return bm::pdf(Binomial(static_cast<double>(n), p), static_cast<double>(x));
}

double binomial_lower_tail(std::int64_t x, std::int64_t n, double p) {
  if (x < 0) return 0;
  if (x >= n) return 1;
  return bm::cdf(Binomial(static_cast<double>(n), p), static_cast<double>(x));
}

double binomial_upper_tail(std::int64_t x, std::int64_t n, double p) {
  if (x <= 0) return 1;
  if (x > n) return 0;
  return bm::cdf(bm::complement(Binomial(static_cast<double>(n), p), static_cast<double>(x - 1)));
}

std::int64_t binomial_quantile(double probability, std::int64_t n, double p) {
  if (p <= 0 || n == 0) return 0;
  if (p >= 1) return n;
  const double guess = bm::quantile(Binomial(static_cast<double>(n), p), probability);
  return smallest_reaching(probability, std::llround(guess), n,
                           [&](std::int64_t x) { return binomial_lower_tail(x, n, p); });
}

double poisson_pmf(std::int64_t x, double mean) {
  if (x < 0) return 0;
  if (mean <= 0) return x == 0 ? 1 : 0;
  return bm::pdf(Poisson(mean), static_cast<double>(x));
}

double poisson_lower_tail(std::int64_t x, double mean) {
  if (x < 0) return 0;
  if (mean <= 0) return 1;
  return bm::cdf(Poisson(mean), static_cast<double>(x));
}

double poisson_upper_tail(std::int64_t x, double mean) {
  if (x <= 0) return 1;
  if (mean <= 0) return 0;
  return bm::cdf(bm::complement(Poisson(mean), static_cast<double>(x - 1)));
}

std::int64_t poisson_quantile(double probability, double mean) {
  if (mean <= 0) return 0;
  const double guess = bm::quantile(Poisson(mean), probability);
  return smallest_reaching(probability, std::llround(guess), INT64_MAX,
                           [&](std::int64_t x) { return poisson_lower_tail(x, mean); });
}

double beta_quantile(double probability, double a, double b) {
  return bm::ibeta_inv(a, b, probability, Quiet());
}

double gamma_quantile(double probability, double shape) {
  return bm::gamma_p_inv(shape, probability, Quiet());
}

}  // namespace lastlook::analytics
