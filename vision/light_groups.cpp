// SPDX-License-Identifier: Apache-2.0
#include "vision/light_groups.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>

#include "vision/patch.h"

namespace lastlook::vision {
namespace {

constexpr int most_groups = 6;
constexpr int pictures_a_group = 4;

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
  cv::Mat labels;
  cv::theRNG().state = 20;
  cv::kmeans(rows, std::clamp(n / pictures_a_group, 2, most_groups), labels,
             cv::TermCriteria(cv::TermCriteria::COUNT | cv::TermCriteria::EPS, 60, 1e-4), 12,
             cv::KMEANS_PP_CENTERS);
  for (int i = 0; i < n; ++i) groups[static_cast<std::size_t>(i)] = labels.at<int>(i);
  return groups;
}

}  // namespace lastlook::vision
