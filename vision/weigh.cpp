// SPDX-License-Identifier: Apache-2.0
#include "vision/weigh.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <set>

#include "analytics/distributions.h"

namespace lastlook::vision {
namespace {

constexpr double made_up_weight = 0.25;
constexpr double disturbed_weight = 0.4;
// Pull of each weight towards the start, in standardised units. It is worth as much as some faulty
// pictures: the more real ones there are, the less it pulls.
constexpr double prior = 0.02;
constexpr double prior_worth = 4;
constexpr int steps = 1500;
constexpr double rate = 0.4;

// The least that right ones are taken to vary by, whatever few pictures show.
constexpr std::array<double, evidence_kinds> least_spread = {0.1, 0.15, 0.15, 0.15, 0.03, 0.5};

constexpr double unsure_units = 0.05;  // bounds, of units
constexpr double stopped_units = 0.02;
// A miss is taken to be five times as bad as a question: below this a question is the better
// answer.
constexpr double least_yes = 0.8;
// Of the way from faulty to right ones, the least spread that another light is taken to give right
// ones: settled on practice pictures of the terminal box under a light that was not taught.
constexpr double spread_share = 0.15;

constexpr int inputs = 2 * evidence_kinds;
using Input = std::array<double, inputs>;

std::vector<double> example_weights(const std::vector<HeldOut>& held_out) {
  std::vector<double> weight;
  double sum[2] = {0, 0};
  for (const HeldOut& one : held_out) {
    weight.push_back(one.sight->made_up     ? made_up_weight
                     : one.sight->disturbed ? disturbed_weight
                                            : 1);
    sum[one.yes ? 1 : 0] += weight.back();
  }
  for (std::size_t i = 0; i < weight.size(); ++i) weight[i] /= 2 * sum[held_out[i].yes ? 1 : 0];
  return weight;
}

void learn_usual(Question& question, const std::vector<HeldOut>& held_out,
                 const std::vector<double>& weight) {
  double total = 0;
  Evidence square;
  for (std::size_t i = 0; i < held_out.size(); ++i) {
    if (!held_out[i].yes) continue;
    total += weight[i];
    question.usual += weight[i] * held_out[i].evidence;
    square += weight[i] * held_out[i].evidence.mul(held_out[i].evidence);
  }
  question.usual *= 1 / total;
  for (int k = 0; k < evidence_kinds; ++k) {
    const double variance = square[k] / total - question.usual[k] * question.usual[k];
    question.spread[k] =
        std::max(std::sqrt(std::max(variance, 0.0)), least_spread[static_cast<std::size_t>(k)]);
  }
}

Input input_of(const Question& question, const Evidence& evidence) {
  const Evidence beyond = excess(question, evidence);
  Input out{};
  for (int k = 0; k < evidence_kinds; ++k) {
    out[static_cast<std::size_t>(k)] = evidence[k];
    out[static_cast<std::size_t>(k + evidence_kinds)] = beyond[k];
  }
  return out;
}

// Mean and standard deviation of each input.
struct Standard {
  Input mean{};
  Input sd{};
};
Standard standard_of(const std::vector<Input>& inputs_of, const std::vector<double>& weight) {
  Standard out;
  Input square{};
  for (std::size_t i = 0; i < inputs_of.size(); ++i) {
    for (std::size_t k = 0; k < inputs; ++k) {
      out.mean[k] += weight[i] * inputs_of[i][k];
      square[k] += weight[i] * inputs_of[i][k] * inputs_of[i][k];
    }
  }
  for (std::size_t k = 0; k < inputs; ++k)
    out.sd[k] = std::sqrt(std::max(square[k] - out.mean[k] * out.mean[k], 1e-4));
  return out;
}

struct Fit {
  Input weight{};
  double offset = 0;
};

// What is thought before anything was seen, per unit of the input: the linear judge and a common
// excess say the most.
Input start_of(const Standard& standard) {
  Input start{};
  for (std::size_t k = 0; k < evidence_kinds; ++k) {
    start[k] = k == linear ? 1.5 : 0.3 * sense[k];
    if (k != linear) start[k + evidence_kinds] = -standard.sd[k + evidence_kinds];
  }
  return start;
}

Fit fit_logistic(const std::vector<Input>& x, const std::vector<HeldOut>& held_out,
                 const std::vector<double>& weight, const Input& start) {
  const auto faulty = std::count_if(held_out.begin(), held_out.end(), [](const HeldOut& one) {
    return !one.yes && !one.sight->made_up && !one.sight->disturbed;
  });
  const double pull = prior / (1 + static_cast<double>(faulty) / prior_worth);
  Fit fit{start, 0};
  for (int step = 0; step < steps; ++step) {
    Fit gradient;
    for (std::size_t i = 0; i < x.size(); ++i) {
      double z = fit.offset;
      for (std::size_t k = 0; k < inputs; ++k) z += fit.weight[k] * x[i][k];
      const double p = 1 / (1 + std::exp(-std::clamp(z, -30.0, 30.0)));
      const double d = weight[i] * ((held_out[i].yes ? 0.995 : 0.005) - p);
      gradient.offset += d;
      for (std::size_t k = 0; k < inputs; ++k) gradient.weight[k] += d * x[i][k];
    }
    fit.offset += rate * gradient.offset;
    for (std::size_t k = 0; k < inputs; ++k) {
      fit.weight[k] += rate * (gradient.weight[k] - pull * (fit.weight[k] - start[k]));
      const double sign = k < evidence_kinds ? sense[k] : -1;
      if (fit.weight[k] * sign < 0) fit.weight[k] = 0;
    }
  }
  return fit;
}

double logit(const HeldOut& one) {
  // What lies beyond one in a hundred, so few pictures cannot tell.
  const double p = std::clamp(one.probability, 0.01, 0.99);
  return std::log(p / (1 - p));
}
double probability_of(double logit) {
  return 1 / (1 + std::exp(-logit));
}

// The t that the given share of a t distribution lies beyond, by its relation to the beta
// distribution (Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.1, from memory).
double t_beyond(double share, double freedom) {
  const double x = analytics::beta_quantile(2 * share, freedom / 2, 0.5);
  return std::sqrt(freedom * (1 - x) / x);
}

// Of the right ones' logits, on pictures as they were taken: mean, and standard deviation about it
// of those below.
struct Tail {
  double mean = 0;
  double spread = 0;
  std::size_t pictures = 0;
};
Tail tail_of(const std::vector<HeldOut>& held_out, const std::vector<double>& weight) {
  Tail tail;
  double total = 0;
  std::set<std::size_t> pictures;
  for (std::size_t i = 0; i < held_out.size(); ++i) {
    if (!held_out[i].yes || held_out[i].sight->disturbed) continue;
    total += weight[i];
    tail.mean += weight[i] * logit(held_out[i]);
    pictures.insert(held_out[i].sight->picture);
  }
  tail.pictures = pictures.size();
  if (total <= 0) return tail;
  tail.mean /= total;
  double squares = 0;
  double below = 0;
  for (std::size_t i = 0; i < held_out.size(); ++i) {
    const double d = logit(held_out[i]) - tail.mean;
    if (!held_out[i].yes || held_out[i].sight->disturbed || d >= 0) continue;
    squares += weight[i] * d * d;
    below += weight[i];
  }
  if (below > 0) tail.spread = std::sqrt(squares / below);
  return tail;
}

// Where faulty ones lie. Made-up ones tell where faults are in general, not which is the mildest.
struct Faulty {
  double mean = 0;
  double level = 0;            // 'no' must reach at least here
  double highest = -INFINITY;  // of real ones, undisturbed
};
Faulty faulty_of(const std::vector<HeldOut>& held_out, const std::vector<double>& weight) {
  Faulty out;
  double total = 0;
  bool not_right = false;
  std::vector<double> real;
  for (std::size_t i = 0; i < held_out.size(); ++i) {
    const HeldOut& one = held_out[i];
    if (one.yes) continue;
    total += weight[i];
    out.mean += weight[i] * logit(one);
    if (one.sight->made_up || one.sight->disturbed) continue;
    real.push_back(logit(one));
    not_right = not_right || one.sight->state != State::absent;
  }
  if (total > 0) out.mean /= total;
  out.level = out.mean;
  if (real.empty()) return out;
  std::sort(real.begin(), real.end());
  out.highest = real.back();
  if (not_right)
    out.level = real[static_cast<std::size_t>(0.95 * static_cast<double>(real.size() - 1))];
  return out;
}

}  // namespace

void weigh_evidence(Question& question, std::vector<HeldOut>& held_out) {
  const std::vector<double> weight = example_weights(held_out);
  learn_usual(question, held_out, weight);
  std::vector<Input> x;
  for (const HeldOut& one : held_out) x.push_back(input_of(question, one.evidence));
  const Standard standard = standard_of(x, weight);
  for (Input& one : x)
    for (std::size_t k = 0; k < inputs; ++k) one[k] = (one[k] - standard.mean[k]) / standard.sd[k];
  const Fit fit = fit_logistic(x, held_out, weight, start_of(standard));
  question.offset = fit.offset;
  for (std::size_t k = 0; k < inputs; ++k) {
    const double w = fit.weight[k] / standard.sd[k];
    question.offset -= w * standard.mean[k];
    const int kind = static_cast<int>(k % evidence_kinds);
    (k < evidence_kinds ? question.weights : question.excess_weights)[kind] = w;
  }
  for (HeldOut& one : held_out) one.probability = probability(question, one.evidence);
}

void place_thresholds(Question& question, const std::vector<HeldOut>& held_out,
                      std::size_t components) {
  const std::vector<double> weight = example_weights(held_out);
  const Tail good = tail_of(held_out, weight);
  if (good.pictures == 0) return;  // nothing held out: the widest band stays
  const Faulty faulty = faulty_of(held_out, weight);
  const double least = spread_share * std::max(good.mean - faulty.mean, 0.0);
  const double spread = std::max(good.spread, least);
  const double freedom = std::max(2.0, static_cast<double>(good.pictures) - 1);
  const auto limit = [&](double units) {
    const double share = 1 - std::pow(1 - units, 1 / static_cast<double>(components));
    return good.mean - t_beyond(share, freedom) * spread;
  };
  const double stop = limit(stopped_units);
  const double yes = std::max(limit(unsure_units), faulty.highest);
  const double no = faulty.level < stop ? (faulty.level + stop) / 2 : stop;
  question.yes_at = std::clamp(probability_of(yes), least_yes, 0.995);
  question.no_at = std::clamp(probability_of(no), 0.005, 0.5);
}

}  // namespace lastlook::vision
