// SPDX-License-Identifier: Apache-2.0
#include "vision/counterfeit.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

namespace lastlook::vision {
namespace {

double between(cv::RNG& rng, double low, double high) {
  return rng.uniform(low, high);
}
double either_sign(cv::RNG& rng) {
  return rng.uniform(0, 2) == 0 ? -1 : 1;
}

// 1 within the box, falling softly to 0 around it.
cv::Mat soft_box(cv::Size size, const cv::Rect2d& box) {
  cv::Mat mask = cv::Mat::zeros(size, CV_32F);
  cv::rectangle(mask,
                cv::Rect(cvRound(box.x), cvRound(box.y), cvRound(box.width), cvRound(box.height)),
                cv::Scalar(1), cv::FILLED);
  cv::GaussianBlur(mask, mask, {}, 2.5);
  return mask;
}

cv::Mat blend(const cv::Mat& below, const cv::Mat& above, const cv::Mat& mask) {
  cv::Mat three;
  cv::merge(std::vector<cv::Mat>{mask, mask, mask}, three);
  return below + (above - below).mul(three);
}

// What surrounds the box, spread softly over it.
cv::Mat without_part(const cv::Mat& patch, const cv::Rect2d& box, cv::RNG& rng) {
  cv::Mat keep = 1.0 - soft_box(patch.size(), box);
  keep.setTo(0, keep < 0.5);
  cv::Mat weight;
  cv::Mat three;
  cv::merge(std::vector<cv::Mat>{keep, keep, keep}, three);
  cv::Mat sum = patch.mul(three);
  const double sigma = std::max(box.width, box.height) / 4;
  cv::GaussianBlur(sum, sum, {}, sigma);
  cv::GaussianBlur(keep, weight, {}, sigma);
  cv::Mat divisor;
  weight += 1e-4;
  cv::merge(std::vector<cv::Mat>{weight, weight, weight}, divisor);
  cv::Mat filled = sum / divisor;
  cv::Mat grain(patch.size(), CV_32F);
  rng.fill(grain, cv::RNG::NORMAL, 0, between(rng, 2, 12));
  cv::GaussianBlur(grain, grain, {}, 0.8);
  cv::merge(std::vector<cv::Mat>{grain, grain, grain}, three);
  return cv::max(filled + three, 0.0);
}

cv::Mat moved(const cv::Mat& patch, const cv::Rect2d& box, Fault fault, cv::RNG& rng) {
  const double side = std::sqrt(box.width * box.height);
  const auto x0 = static_cast<float>(box.x);
  const auto y0 = static_cast<float>(box.y);
  const auto x1 = static_cast<float>(box.x + box.width);
  const auto y1 = static_cast<float>(box.y + box.height);
  cv::Point2f from[4] = {{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}};
  cv::Point2f to[4] = {from[0], from[1], from[2], from[3]};
  if (fault == Fault::shifted) {
    const double a = between(rng, 0, 2 * CV_PI);
    const double d = between(rng, 0.08, 0.25) * side;
    for (auto& p : to)
      p += cv::Point2f(static_cast<float>(d * std::cos(a)), static_cast<float>(d * std::sin(a)));
  } else if (fault == Fault::turned) {
    const double a = either_sign(rng) * between(rng, 6, 25) * CV_PI / 180;
    const cv::Point2f c((x0 + x1) / 2, (y0 + y1) / 2);
    for (auto& p : to) {
      const cv::Point2f v = p - c;
      p = c + cv::Point2f(static_cast<float>(std::cos(a) * v.x - std::sin(a) * v.y),
                          static_cast<float>(std::sin(a) * v.x + std::cos(a) * v.y));
    }
  } else {
    // One side lifts: two neighbouring corners move together, and a little apart.
    const int first = rng.uniform(0, 4);
    const double a = between(rng, 0, 2 * CV_PI);
    const double d = between(rng, 0.10, 0.25) * side;
    for (int k = 0; k < 2; ++k)
      to[(first + k) % 4] +=
          cv::Point2f(static_cast<float>(d * std::cos(a) + between(rng, -0.04, 0.04) * side),
                      static_cast<float>(d * std::sin(a) + between(rng, -0.04, 0.04) * side));
  }
  cv::Mat warped;
  const cv::Mat m = cv::getPerspectiveTransform(from, to);
  cv::warpPerspective(patch, warped, m, patch.size(), cv::INTER_LINEAR, cv::BORDER_REPLICATE);
  cv::Mat mask;
  cv::warpPerspective(soft_box(patch.size(), box), mask, m, patch.size());
  // Where the part was and no longer is, its surroundings show.
  const cv::Mat empty = blend(patch, without_part(patch, box, rng), soft_box(patch.size(), box));
  return blend(rng.uniform(0, 2) == 0 ? empty : patch, warped, mask);
}

cv::Mat recoloured(const cv::Mat& patch, cv::RNG& rng) {
  std::vector<cv::Mat> c;
  cv::split(patch, c);
  cv::Mat out;
  if (rng.uniform(0, 2) == 0) {  // what is coloured takes another hue
    const int order = rng.uniform(0, 5);
    constexpr int orders[5][3] = {{0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}};
    cv::merge(std::vector<cv::Mat>{c[static_cast<std::size_t>(orders[order][0])],
                                   c[static_cast<std::size_t>(orders[order][1])],
                                   c[static_cast<std::size_t>(orders[order][2])]},
              out);
  } else {
    out = patch.clone();
  }
  const auto tint = [&] { return between(rng, 0.45, 1.8); };
  const cv::Scalar gains(tint(), tint(), tint());
  const double lift = rng.uniform(0, 2) == 0 ? between(rng, 0, 60) : 0;
  cv::Mat tinted;
  cv::multiply(out + cv::Scalar::all(lift), gains, tinted);
  return tinted;
}

}  // namespace

cv::Mat make_fault(const cv::Mat& patch, const cv::Rect2d& inner, Fault fault,
                   const cv::Mat& foreign, cv::RNG& rng) {
  const cv::Mat mask = soft_box(patch.size(), inner);
  switch (fault) {
    case Fault::shifted:
    case Fault::tilted:
    case Fault::turned:
      return moved(patch, inner, fault, rng);
    case Fault::recoloured:
      return blend(patch, recoloured(patch, rng), mask);
    case Fault::smoothed: {
      cv::Mat smooth;
      cv::GaussianBlur(patch, smooth, {}, between(rng, 4, 9));
      return blend(patch, smooth, mask);
    }
    case Fault::half_gone: {
      cv::Rect2d part = inner;
      const bool across = rng.uniform(0, 2) == 0;
      const bool far = rng.uniform(0, 2) == 0;
      const double share = between(rng, 0.35, 0.6);
      (across ? part.width : part.height) *= share;
      if (far) (across ? part.x : part.y) += (across ? inner.width : inner.height) * (1 - share);
      return blend(patch, without_part(patch, inner, rng), soft_box(patch.size(), part));
    }
    case Fault::gone:
      return blend(patch, without_part(patch, inner, rng), mask);
    case Fault::foreign: {
      cv::Mat other;
      cv::resize(foreign.empty() ? patch : foreign, other, patch.size(), 0, 0, cv::INTER_AREA);
      return blend(patch, other, mask);
    }
  }
  return patch;
}

}  // namespace lastlook::vision
