// SPDX-License-Identifier: Apache-2.0
#include "vision/turning.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

namespace lastlook::vision {
namespace {

constexpr int turns = 72;  // rows of the unrolled disc, 5 degrees each
constexpr int radii = 16;
constexpr int least_turn = 3;         // rows: what is below is play ...
constexpr int most_turn = 33;         // ... and half a turn is what any bar fits at
constexpr double least_fit = 0.45;    // of two unrolled discs, at the best turn
constexpr double least_gain = 0.15;   // over the fit without a turn
constexpr double least_share = 0.15;  // of pairs: two may stand alike by chance
constexpr std::size_t most_views = 16;

cv::Point2f middle_of(const cv::Rect2d& box) {
  return {static_cast<float>(box.x + box.width / 2 - 0.5),
          static_cast<float>(box.y + box.height / 2 - 0.5)};
}
double radius_of(const cv::Rect2d& box) {
  return std::min(box.width, box.height) / 2;
}

// Over turn (rows, clockwise) and radius (columns), without each radius's own mean: what is round
// says nothing of a turn.
cv::Mat unrolled(const cv::Mat& view, const cv::Rect2d& box) {
  cv::Mat polar;
  cv::warpPolar(view, polar, {radii, turns}, middle_of(box), radius_of(box), cv::INTER_LINEAR);
  cv::Mat mean;
  cv::reduce(polar, mean, 0, cv::REDUCE_AVG);
  polar -= cv::repeat(mean, turns, 1);
  for (int r = 0; r < radii; ++r) polar.col(r) *= std::sqrt(r + 0.5);  // by the area it stands for
  return polar;
}

struct Fit {
  double upright = 0;
  double best = 0;
  int turn = 0;  // rows that b is on from a
};
Fit fit_of(const cv::Mat& a, const cv::Mat& b) {
  const double scale = cv::norm(a) * cv::norm(b);
  Fit fit;
  if (!(scale > 0)) return fit;
  cv::Mat twice;
  cv::vconcat(b, b, twice);
  for (int t = 0; t < turns; ++t) {
    const double value = a.dot(twice.rowRange(t, t + turns)) / scale;
    if (t == 0) fit.upright = value;
    if (value > fit.best) {
      fit.best = value;
      fit.turn = t;
    }
  }
  return fit;
}

}  // namespace

bool turns_freely(const std::vector<cv::Mat>& views, const cv::Rect2d& box) {
  std::vector<cv::Mat> discs;
  for (std::size_t i = 0; i < std::min(views.size(), most_views); ++i)
    discs.push_back(unrolled(views[i], box));
  double pairs = 0;
  double turned = 0;
  for (std::size_t i = 0; i < discs.size(); ++i) {
    for (std::size_t j = i + 1; j < discs.size(); ++j) {
      const Fit fit = fit_of(discs[i], discs[j]);
      const int turn = std::min(fit.turn, turns - fit.turn);
      pairs += 1;
      if (turn >= least_turn && turn <= most_turn && fit.best > least_fit &&
          fit.best > fit.upright + least_gain)
        turned += 1;
    }
  }
  return pairs > 0 && turned >= least_share * pairs;
}

cv::Mat turned_upright(const cv::Mat& view, const cv::Rect2d& box,
                       const std::vector<cv::Mat>& templates) {
  const cv::Mat disc = unrolled(view, box);
  Fit best;
  for (const cv::Mat& one : templates) {
    const Fit fit = fit_of(unrolled(one, {0, 0, box.width, box.height}), disc);
    if (fit.best > best.best) best = fit;
  }
  return with_part_turned(view, box, best.turn * 360.0 / turns);
}

cv::Mat with_part_turned(const cv::Mat& patch, const cv::Rect2d& box, double deg) {
  const cv::Point2f middle = middle_of(box);
  cv::Mat turned;
  cv::warpAffine(patch, turned, cv::getRotationMatrix2D(middle, deg, 1), patch.size(),
                 cv::INTER_LINEAR, cv::BORDER_REPLICATE);
  cv::Mat mask = cv::Mat::zeros(patch.size(), CV_32F);
  cv::circle(mask, cv::Point(middle), cvRound(0.92 * radius_of(box)), cv::Scalar(1), cv::FILLED);
  cv::GaussianBlur(mask, mask, {}, 1.0);
  cv::Mat out;
  cv::blendLinear(turned, patch, mask, 1.0 - mask, out);
  return out;
}

}  // namespace lastlook::vision
