// SPDX-License-Identifier: Apache-2.0
#include "vision/light_groups.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/patch.h"

namespace lastlook::vision {
namespace {

constexpr int most_groups = 6;
constexpr int pictures_a_group = 3;  // at the least, on average

// How brightness spreads over what all units share: the places of components are left out.
cv::Mat light_of(const std::vector<Component>& components, const cv::Mat& picture,
                 const Alignment& alignment, cv::Size reference_px) {
  cv::Mat small = make_thumbnail(picture_views(picture), alignment.to_picture, reference_px);
  cv::Mat grey;
  cv::cvtColor(small, grey, cv::COLOR_BGR2GRAY);
  grey.convertTo(grey, CV_32F);
  cv::log(grey + 8.0, grey);
  cv::Mat shared(grey.size(), CV_8U, cv::Scalar(255));
  const double f = static_cast<double>(grey.cols) / reference_px.width;
  for (const Component& c : components) {
    const cv::Rect box(cvFloor(c.box_px.x * f), cvFloor(c.box_px.y * f),
                       cvCeil(c.box_px.width * f) + 1, cvCeil(c.box_px.height * f) + 1);
    cv::rectangle(shared, box, cv::Scalar(0), cv::FILLED);
  }
  grey -= cv::mean(grey, shared)[0];
  grey.setTo(0, shared == 0);
  return grey.reshape(1, 1).clone();
}

// How well groups hold together and stand apart, -1 to 1 (Rousseeuw, Journal of Computational and
// Applied Mathematics 20, 1987): too many groups split a light, and what is held out is then known.
double silhouette(const cv::Mat& rows, const cv::Mat& labels, int groups) {
  double sum = 0;
  for (int i = 0; i < rows.rows; ++i) {
    std::vector<double> far(static_cast<std::size_t>(groups));
    std::vector<int> count(static_cast<std::size_t>(groups));
    for (int j = 0; j < rows.rows; ++j) {
      if (j == i) continue;
      const auto g = static_cast<std::size_t>(labels.at<int>(j));
      far[g] += cv::norm(rows.row(i), rows.row(j));
      ++count[g];
    }
    const auto mine = static_cast<std::size_t>(labels.at<int>(i));
    if (count[mine] == 0) continue;  // alone: 0
    double nearest = INFINITY;
    for (std::size_t g = 0; g < far.size(); ++g)
      if (g != mine && count[g] > 0) nearest = std::min(nearest, far[g] / count[g]);
    const double own = far[mine] / count[mine];
    sum += (nearest - own) / std::max({nearest, own, 1e-12});
  }
  return sum / rows.rows;
}

}  // namespace

std::vector<int> group_by_light(const std::vector<Component>& components,
                                const std::vector<cv::Mat>& pictures,
                                const std::vector<Alignment>& alignments, cv::Size reference_px) {
  const int n = static_cast<int>(pictures.size());
  std::vector<int> groups(pictures.size());
  if (n < 6) {
    for (int i = 0; i < n; ++i) groups[static_cast<std::size_t>(i)] = i;
    return groups;
  }
  cv::Mat rows;
  for (std::size_t i = 0; i < pictures.size(); ++i)
    rows.push_back(light_of(components, pictures[i], alignments[i], reference_px));
  cv::Mat best;
  double most = -1;
  for (int k = 2; k <= std::clamp(n / pictures_a_group, 2, most_groups); ++k) {
    cv::Mat labels;
    cv::theRNG().state = 20;
    cv::kmeans(rows, k, labels,
               cv::TermCriteria(cv::TermCriteria::COUNT | cv::TermCriteria::EPS, 60, 1e-4), 12,
               cv::KMEANS_PP_CENTERS);
    const double value = silhouette(rows, labels, k);
    if (value <= most) continue;
    most = value;
    best = labels;
  }
  for (int i = 0; i < n; ++i) groups[static_cast<std::size_t>(i)] = best.at<int>(i);
  return groups;
}

}  // namespace lastlook::vision
