// SPDX-License-Identifier: Apache-2.0
// Charts of attributes over time: is it worse than usual, or as it always was?
//
// Definition: for samples i with x_i nonconforming in n_i inspected,
//   p  x/n,  centre p = sum x / sum n,        sigma_i = sqrt(p (1 - p) / n_i)
//   np x,    centre n_i p,                    sigma_i = sqrt(n_i p (1 - p))
//   u  x/n,  centre u = sum x / sum n,        sigma_i = sqrt(u / n_i)
//   c  x,    centre c = mean of x,            sigma   = sqrt(c)
//   p' and u' as p and u with sigma_i times the spread: mean moving range of z_i divided by 1.128.
// Sigma limits lie three sigmas from the centre, cut to what can happen (0; 1 or n_i). Exact limits
//   are the binomial or Poisson counts beyond which lies at most as much probability on each side
//   as beyond three sigmas of a normal (0.00135). A point exactly on a limit is not beyond it.
// Divisor: inspected units of the samples that count; c: samples.
// Least n: one sample that counts; p' and u': 20 of them, else refused, for the spread is a guess.
// Edges: nothing inspected -> the point has no value and no limits; all conforming -> limits at 0;
//   one sample in a phase -> it is its own centre and cannot signal, which a note says;
// c
//   with samples of different sizes -> a note that points to u;
//   more nonconforming than inspected (p, np) -> bad_input; excluded samples are drawn against the
//   limits and do not shape them; each phase has its own centre unless frozen.
// Interval method: none; limits are for points, not for the centre.
// Source: Shewhart; NIST/SEMATECH e-Handbook 6.3.3; Montgomery, Introduction to Statistical Quality
//   Control; Laney (2002) Qual Eng 14:531-537.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "analytics/result.h"
#include "analytics/run_rules.h"

namespace lastlook::analytics {

enum class ChartKind { p, np, c, u, p_prime, u_prime };
enum class LimitKind { sigma, exact };

struct ChartSample {
  std::string name;
  std::int64_t inspected = 1;  // to c only whether it is 0: a count without a size
  std::int64_t nonconforming = 0;
  std::string phase;     // a change of its name starts a new phase
  std::string excluded;  // why it does not shape the limits; empty: it does
};

struct ChartOptions {
  ChartKind kind = ChartKind::p;
  LimitKind limits = LimitKind::sigma;
  std::optional<double> frozen_centre;  // as a rate for p, np, u; as a count for c
  std::vector<Question> questions;      // what runs to look for beside points beyond a limit
};

struct Signal {
  std::string reason;     // "above the upper limit", "8 in a row above the centre"
  std::size_t first = 0;  // the run's first point
};

struct ChartPoint {
  std::string sample;
  double size = 0;              // inspected
  std::optional<double> value;  // none where nothing was inspected
  std::optional<double> down;   // the second line of a CUSUM, 0 or less
  std::optional<double> centre;
  std::optional<double> lower;
  std::optional<double> upper;
  std::optional<double> z;  // distance from the centre in sigmas; none where sigma is 0
  std::size_t phase = 0;
  std::string excluded;
  std::vector<Signal> signals;
};

struct ChartPhase {
  std::string name;
  double centre = 0;  // as beside the kinds; np: of the mean sample size
  double rate = 0;    // what limits are made of: p, u, or c
  double spread = 1;  // of p' and u'
  std::size_t first = 0;
  std::size_t end = 0;  // one past its last point
  std::size_t counted = 0;
};

struct AttributeChart {
  ChartKind kind = ChartKind::p;
  LimitKind limits = LimitKind::sigma;
  std::vector<ChartPhase> phases;
  std::vector<ChartPoint> points;
  std::vector<std::string> notes;  // what a reader must know
  std::string axis;                // what the values are, in words
  std::string limits_in_words;
  bool in_percent = false;  // values are fractions to be read as percents

  double centre() const { return phases.back().centre; }
  bool has_signals() const;
};

// Definition: the same chart on one scale for samples of all sizes: each value as its distance from
//   the centre in sigmas, limits at three. Signals stay as they are.
// Divisor: the sigma of each point.
// Least n: as the chart.
// Edges: no sigma (rate 0 or 1) -> a point without value; exact limits -> refused, for they are no
//   sigmas.
// Interval method: none.
// Source: Montgomery, Introduction to Statistical Quality Control, ch. 7.
Result<AttributeChart> standardised(const AttributeChart& chart);

// Words for a footnote: "exact limits, 0.135 % beyond each".
std::string words_for(LimitKind limits);

Result<AttributeChart> attribute_chart(const std::vector<ChartSample>& samples,
                                       const ChartOptions& options = {});

// Least number of samples for p' and u'.
inline constexpr std::size_t kLeastForSpread = 20;

// Definition: mean of |z_i - z_(i-1)| over neighbours, divided by 1.128 (the mean range of two
//   normal values, in sigmas, to the three decimals in use). 1: as the binomial or Poisson says;
//   more: the rate itself wanders; less: batches hide it.
// Divisor: pairs of neighbours.
// Least n: 2 (refused).
// Edges: constant z -> 0.
// Interval method: none.
// Source: Laney (2002).
Result<double> spread_of(const std::vector<double>& z);

// Definition: sum of z^2 against chi-squared with k - 1 degrees of freedom: does the rate wander
//   more than the binomial or Poisson allows? Needs expected counts that are not too small (5 a
//   sample).
// Divisor: none.
// Least n: 2.
// Edges: fewer -> refused.
// Interval method: none.
// Source: Cochran (1954) Biometrics 10:417.
struct Overdispersion {
  double ratio = 0;  // sum of z^2 / (k - 1): 1 as expected
  double p_value = 1;
};
Result<Overdispersion> overdispersion(const std::vector<double>& z);

}  // namespace lastlook::analytics
