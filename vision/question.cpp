// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cmath>

#include "vision/taught.h"

namespace lastlook::vision {

Evidence excess(const Question& question, const Evidence& evidence) {
  Evidence out;
  for (int k = 0; k < evidence_kinds; ++k) {
    const double x =
        sense[static_cast<std::size_t>(k)] * (question.usual[k] - evidence[k]) / question.spread[k];
    if (k != linear && x > 0) out[k] = std::sqrt(1 + x * x) - 1;
  }
  return out;
}

double probability(const Question& question, const Evidence& evidence) {
  const double z = question.weights.dot(evidence) +
                   question.excess_weights.dot(excess(question, evidence)) + question.offset;
  return std::isfinite(z) ? 1 / (1 + std::exp(-std::clamp(z, -30.0, 30.0))) : 0.5;
}

Answer ask(const Question& question, const PatchFrame& frame, const cv::Mat& row,
           const cv::Mat& view) {
  Answer answer;
  if (question.judge.weights.empty()) return answer;
  answer.evidence[linear] = std::clamp(question.judge.score(row), -1.0, question.most_linear);
  measure_distances(answer.evidence, question.normal, row);
  answer.match = best_match(question.templates, frame, view);
  answer.evidence[match] = answer.match.correlation;
  answer.evidence[shift] = cv::norm(answer.match.shift) / frame.scale;
  answer.probability = probability(question, answer.evidence);
  return answer;
}

}  // namespace lastlook::vision
