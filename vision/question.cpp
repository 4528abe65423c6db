// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cmath>

#include "vision/taught.h"

namespace lastlook::vision {

double probability(const Question& question, const Evidence& evidence) {
  const double z = question.weights.dot(evidence) + question.offset;
  return std::isfinite(z) ? 1 / (1 + std::exp(-std::clamp(z, -30.0, 30.0))) : 0.5;
}

Answer ask(const Question& question, const PatchFrame& frame, const cv::Mat& row,
           const cv::Mat& view) {
  Answer answer;
  if (question.judge.weights.empty()) return answer;
  answer.evidence[linear] = limited(question.judge.score(row));
  measure_distances(answer.evidence, question.normal, row);
  answer.match = best_match(question.templates, frame, view);
  answer.evidence[match] = answer.match.correlation;
  answer.evidence[shift] = cv::norm(answer.match.shift) / frame.scale;
  answer.probability = probability(question, answer.evidence);
  return answer;
}

}  // namespace lastlook::vision
