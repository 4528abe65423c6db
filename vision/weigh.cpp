// SPDX-License-Identifier: Apache-2.0
#include "vision/weigh.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace lastlook::vision {
namespace {

// +1: more speaks for 'yes'; -1: more speaks against.
constexpr std::array<double, evidence_kinds> sense = {1, -1, -1, -1, 1, -1};
constexpr double made_up_weight = 0.25;
constexpr double disturbed_weight = 0.4;
constexpr double prior = 0.02;  // pull of each weight towards the start, in standardised units
constexpr int steps = 600;

// A miss is worse than a question: the band leans towards 'unsure'. Without a real example of a
// wrong or misplaced one it is wider.
constexpr double yes_at = 0.7;
constexpr double no_at = 0.3;
constexpr double no_at_unproved = 0.15;

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

}  // namespace

void weigh_evidence(Question& question, std::vector<HeldOut>& held_out) {
  const std::vector<double> weight = example_weights(held_out);
  Evidence mean;
  Evidence square;
  for (std::size_t i = 0; i < held_out.size(); ++i) {
    mean += weight[i] * held_out[i].evidence;
    square += weight[i] * held_out[i].evidence.mul(held_out[i].evidence);
  }
  Evidence sd;
  for (int k = 0; k < evidence_kinds; ++k)
    sd[k] = std::sqrt(std::max(square[k] - mean[k] * mean[k], 1e-4));
  const auto standard = [&](const Evidence& e, int k) { return (e[k] - mean[k]) / sd[k]; };

  std::array<double, evidence_kinds> start{};
  start[linear] = 1.5;
  for (int k = 1; k < evidence_kinds; ++k)
    start[static_cast<std::size_t>(k)] = 0.3 * sense[static_cast<std::size_t>(k)];
  std::array<double, evidence_kinds> w = start;
  double offset = 0;
  for (int step = 0; step < steps; ++step) {
    std::array<double, evidence_kinds> gradient{};
    double g0 = 0;
    for (std::size_t i = 0; i < held_out.size(); ++i) {
      double z = offset;
      for (int k = 0; k < evidence_kinds; ++k)
        z += w[static_cast<std::size_t>(k)] * standard(held_out[i].evidence, k);
      const double p = 1 / (1 + std::exp(-std::clamp(z, -30.0, 30.0)));
      const double d = weight[i] * ((held_out[i].yes ? 0.995 : 0.005) - p);
      g0 += d;
      for (int k = 0; k < evidence_kinds; ++k)
        gradient[static_cast<std::size_t>(k)] += d * standard(held_out[i].evidence, k);
    }
    constexpr double rate = 1.0;
    offset += rate * g0;
    for (std::size_t k = 0; k < w.size(); ++k) {
      w[k] += rate * (gradient[k] - prior * 0.1 * (w[k] - start[k]));
      if (w[k] * sense[k] < 0) w[k] = 0;
    }
  }
  question.offset = offset;
  for (int k = 0; k < evidence_kinds; ++k) {
    question.weights[k] = w[static_cast<std::size_t>(k)] / sd[k];
    question.offset -= question.weights[k] * mean[k];
  }
  double known = 0;
  for (HeldOut& one : held_out) {
    one.probability = probability(question, one.evidence);
    if (!one.yes) continue;
    question.usual += one.evidence;
    known += 1;
  }
  if (known > 0) question.usual *= 1 / known;
}

void place_thresholds(Question& question, const std::vector<HeldOut>& held_out) {
  const bool knows_not_right =
      std::any_of(held_out.begin(), held_out.end(), [](const HeldOut& one) {
        return !one.yes && !one.sight->made_up && one.sight->state != State::absent;
      });
  question.yes_at = yes_at;
  question.no_at = knows_not_right ? no_at : no_at_unproved;
}

}  // namespace lastlook::vision
