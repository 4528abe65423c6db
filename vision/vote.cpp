// SPDX-License-Identifier: Apache-2.0
#include "vision/vote.h"

#include <cmath>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "vision/correlate.h"

namespace lastlook::vision {
namespace {

constexpr double most_turn_deg = 9, turn_step_deg = 0.75;
constexpr double most_scale = 0.07, scale_step = 0.02;
constexpr double most_shift = 0.06;     // of the picture's width
constexpr float least_response = 0.4F;  // a correlation that chance often gives says nothing
constexpr double quarter = 0.25;        // of the reference's size: what is voted on
constexpr int widest_px = 2700;

// How well an anchor fits at each shift from its place, up to `reach` each way.
struct Ballot {
  cv::Point2d from_middle;  // its place, from the picture's middle, quarter pixels
  int reach = 0;
  cv::Mat fit;  // 32-bit float, 2 reach + 1 in size, 0 and more
};

Ballot fill_in(const Anchor& anchor, const cv::Mat& view, cv::Point2d middle, double shift) {
  Ballot ballot;
  const cv::Point2d at((anchor.at_px.x + 0.5) * quarter - 0.5,
                       (anchor.at_px.y + 0.5) * quarter - 0.5);
  ballot.from_middle = at - middle;
  const double far = cv::norm(ballot.from_middle);
  ballot.reach =
      static_cast<int>(std::ceil(shift + far * (most_turn_deg * CV_PI / 180 + most_scale) + 2));
  cv::Mat unit;
  cv::resize(anchor.patch, unit, {anchor_side / 2, anchor_side / 2}, 0, 0, cv::INTER_AREA);
  const int side = unit.cols + 2 * ballot.reach;
  if (!make_unit(unit)) {
    ballot.fit = cv::Mat::zeros(2 * ballot.reach + 1, 2 * ballot.reach + 1, CV_32F);
    return ballot;
  }
  cv::Mat window;
  cv::getRectSubPix(view, {side, side}, {static_cast<float>(at.x), static_cast<float>(at.y)},
                    window);
  correlate(window, unit, ballot.fit);
  ballot.fit = cv::max(ballot.fit - least_response, 0.0F);
  cv::dilate(ballot.fit, ballot.fit, cv::Mat());  // between two turns or scales it still counts
  return ballot;
}

struct Place {
  double votes = 0;
  double turn_rad = 0, scale = 1;
  cv::Point2d shift;  // of the middle, quarter pixels
};

// Adds up what all say to one turn and scale, at every shift.
void count(const std::vector<Ballot>& ballots, double turn_rad, double scale, int shift,
           cv::Mat& sum, Place& best) {
  sum = cv::Mat::zeros(2 * shift + 1, 2 * shift + 1, CV_32F);
  const double c = scale * std::cos(turn_rad);
  const double s = scale * std::sin(turn_rad);
  for (const Ballot& ballot : ballots) {
    const cv::Point2d& p = ballot.from_middle;
    const int dx = static_cast<int>(std::lround(c * p.x - s * p.y - p.x));
    const int dy = static_cast<int>(std::lround(s * p.x + c * p.y - p.y));
    const cv::Rect place(ballot.reach + dx - shift, ballot.reach + dy - shift, sum.cols, sum.rows);
    sum += ballot.fit(place);
  }
  double votes = 0;
  cv::Point at;
  cv::minMaxLoc(sum, nullptr, &votes, nullptr, &at);
  if (votes > best.votes) best = {votes, turn_rad, scale, cv::Point2d(at.x - shift, at.y - shift)};
}

}  // namespace

std::optional<cv::Matx23d> vote(const AlignmentReference& reference, const cv::Mat& half) {
  if (reference.picture_px.width > widest_px || reference.anchors.empty()) return std::nullopt;
  cv::Mat view;
  cv::resize(half, view, {half.cols / 2, half.rows / 2}, 0, 0, cv::INTER_AREA);
  view.convertTo(view, CV_32F);
  const cv::Point2d middle((view.cols - 1) / 2.0, (view.rows - 1) / 2.0);
  const int shift = static_cast<int>(std::lround(most_shift * view.cols));
  std::vector<Ballot> ballots;
  for (const Anchor& anchor : reference.anchors)
    ballots.push_back(fill_in(anchor, view, middle, shift));
  Place best;
  cv::Mat sum;
  for (double turn = -most_turn_deg; turn <= most_turn_deg + 1e-9; turn += turn_step_deg)
    for (double scale = -most_scale; scale <= most_scale + 1e-9; scale += scale_step)
      count(ballots, turn * CV_PI / 180, 1 + scale, shift, sum, best);
  if (!(best.votes > 0)) return std::nullopt;
  const double c = best.scale * std::cos(best.turn_rad);
  const double s = best.scale * std::sin(best.turn_rad);
  const cv::Point2d from((reference.picture_px.width - 1) / 2.0,
                         (reference.picture_px.height - 1) / 2.0);
  const cv::Point2d to = from + best.shift * (1 / quarter);
  return cv::Matx23d(c, -s, to.x - c * from.x + s * from.y, s, c, to.y - s * from.x - c * from.y);
}

}  // namespace lastlook::vision
