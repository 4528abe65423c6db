// SPDX-License-Identifier: Apache-2.0
#include "vision/natural.h"

#include <algorithm>
#include <map>

#include "vision/evidence.h"

namespace lastlook::vision {
namespace {

using Kind = std::pair<std::size_t, int>;  // variant and group of like light

Kind kind_of(const Sight& s) {
  return {s.variant, s.group};
}

cv::Mat mean_of(const std::vector<const Sight*>& ones) {
  cv::Mat mean = cv::Mat::zeros(ones[0]->row.size(), CV_32F);
  for (const Sight* s : ones) mean += s->row / static_cast<double>(ones.size());
  return mean;
}

// Evidence of a row's distance from a mean, in standard deviations within kinds.
Evidence distance(Normal& normal, const cv::Mat& mean, const cv::Mat& row) {
  Evidence out;
  normal.mean = mean;
  measure_distances(out, normal, row);
  return out;
}

}  // namespace

void drop_likely_right(std::vector<Sight>& sights, const PatchFrame& frame) {
  std::map<Kind, std::vector<const Sight*>> right;
  for (const Sight& s : sights)
    if (s.state == State::present && !s.made_up && !s.disturbed) right[kind_of(s)].push_back(&s);

  std::map<Kind, cv::Mat> means;
  std::vector<cv::Mat> residuals;
  for (const auto& [kind, ones] : right) {
    means[kind] = mean_of(ones);
    if (ones.size() < 2) continue;
    // From the mean of the others.
    const double n = static_cast<double>(ones.size());
    for (const Sight* s : ones) residuals.push_back((s->row - means[kind]) * (n / (n - 1)));
  }
  if (residuals.empty()) return;
  Normal normal = learn_normal(residuals, frame);
  const cv::Mat nothing = cv::Mat::zeros(residuals[0].size(), CV_32F);
  Evidence most;
  for (const cv::Mat& residual : residuals) {
    const Evidence e = distance(normal, nothing, residual);
    for (int k = 0; k < evidence_kinds; ++k) most[k] = std::max(most[k], e[k]);
  }
  std::erase_if(sights, [&](const Sight& s) {
    if (!s.made_up || s.plain_row.empty() || !means.contains(kind_of(s))) return false;
    const Evidence e = distance(normal, means[kind_of(s)], s.plain_row);
    return e[edges] <= most[edges] && e[colour] <= most[colour] &&
           e[brightness] <= most[brightness];
  });
}

}  // namespace lastlook::vision
