// SPDX-License-Identifier: Apache-2.0
#include "vision/align.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <opencv2/calib3d.hpp>
#include <opencv2/features2d.hpp>
#include <opencv2/imgproc.hpp>

#include "vision/correlate.h"
#include "vision/patch.h"
#include "vision/similarity.h"
#include "vision/vote.h"

namespace lastlook::vision {
namespace {

constexpr double coarse_width_px = 320;
constexpr int coarse_features = 260;
constexpr int reach_first = 4;  // working pixels searched each way: at first,
constexpr int reach_after_vote = 6;
constexpr int reach_then = 2;  // and once the first fit has brought all near
constexpr std::size_t most_anchors = 72;
constexpr double least_correlation = 0.6;
constexpr int least_matches = 8;
constexpr double half = 0.5;
// Where fewer anchors agree, another guess may be the right one.
constexpr double sure_inlier_share = 0.35;

cv::Ptr<cv::ORB> detector() {
  return cv::ORB::create(coarse_features, 1.3F, 3, 12, 0, 2, cv::ORB::FAST_SCORE, 24, 8);
}

// A pixel (x, y) of a picture shrunk by s lies at ((x + 0.5) / s - 0.5).
cv::Point2f enlarge(cv::Point2f p, double s) {
  return {static_cast<float>((p.x + 0.5) / s - 0.5), static_cast<float>((p.y + 0.5) / s - 0.5)};
}
bool plausible(const cv::Matx23d& m) {
  const double scale = std::hypot(m(0, 0), m(1, 0));
  const double turn = std::atan2(m(1, 0), m(0, 0)) * 180 / CV_PI;
  return std::isfinite(scale) && scale > 0.8 && scale < 1.25 && std::abs(turn) < 25;
}

struct Pairs {
  std::vector<cv::Point2d> reference;
  std::vector<cv::Point2d> picture;
  std::vector<std::size_t> anchor;
};

// Looks for every anchor near where the transform says; those that correlate well come back.
Pairs find_anchors(const AlignmentReference& reference, const cv::Mat& half_view,
                   const cv::Matx23d& to_picture, int reach) {
  Pairs pairs;
  const int window = anchor_side + 2 * reach;
  const double centre = (window - 1) / 2.0;
  cv::Mat region;
  cv::Mat surface;
  for (std::size_t i = 0; i < reference.anchors.size(); ++i) {
    const Anchor& anchor = reference.anchors[i];
    const cv::Point2d at = apply(to_picture, anchor.at_px);
    const cv::Point2d at_half((at.x + 0.5) * half - 0.5, (at.y + 0.5) * half - 0.5);
    if (at_half.x < 0 || at_half.y < 0 || at_half.x >= half_view.cols ||
        at_half.y >= half_view.rows)
      continue;
    // Window pixel w shows picture (half) pixel A (w - centre) + at_half.
    const cv::Matx23d m(to_picture(0, 0), to_picture(0, 1),
                        at_half.x - to_picture(0, 0) * centre - to_picture(0, 1) * centre,
                        to_picture(1, 0), to_picture(1, 1),
                        at_half.y - to_picture(1, 0) * centre - to_picture(1, 1) * centre);
    cv::warpAffine(half_view, region, m, {window, window}, cv::INTER_LINEAR | cv::WARP_INVERSE_MAP,
                   cv::BORDER_REPLICATE);
    region.convertTo(region, CV_32F);
    correlate(region, anchor.patch, surface);
    const Peak peak = find_peak(surface);
    if (peak.value < least_correlation || peak.at_edge) continue;
    const cv::Point2d off = (peak.fine - cv::Point2d(reach, reach)) * (1 / half);
    pairs.reference.emplace_back(anchor.at_px);
    pairs.picture.emplace_back(at.x + to_picture(0, 0) * off.x + to_picture(0, 1) * off.y,
                               at.y + to_picture(1, 0) * off.x + to_picture(1, 1) * off.y);
    pairs.anchor.push_back(i);
  }
  return pairs;
}

std::optional<cv::Matx23d> coarse_alignment(const AlignmentReference& reference,
                                            const cv::Mat& coarse) {
  std::vector<cv::KeyPoint> keys;
  cv::Mat descriptors;
  detector()->detectAndCompute(coarse, cv::noArray(), keys, descriptors);
  if (std::min(descriptors.rows, reference.descriptors.rows) < least_matches) return std::nullopt;
  std::vector<cv::DMatch> matches;
  cv::BFMatcher(cv::NORM_HAMMING).match(descriptors, reference.descriptors, matches);
  std::sort(matches.begin(), matches.end());
  if (matches.size() > 160) matches.resize(160);
  const double scale = static_cast<double>(coarse.cols) / reference.picture_px.width;
  std::vector<cv::Point2f> from;
  std::vector<cv::Point2f> to;
  for (const cv::DMatch& match : matches) {
    if (match.distance > 70) break;
    from.push_back(reference.points_px[static_cast<std::size_t>(match.trainIdx)]);
    to.push_back(enlarge(keys[static_cast<std::size_t>(match.queryIdx)].pt, scale));
  }
  if (static_cast<int>(from.size()) < least_matches) return std::nullopt;
  std::vector<unsigned char> inliers;
  const cv::Mat m = cv::estimateAffinePartial2D(from, to, inliers, cv::RANSAC, 8.0, 1500, 0.995, 5);
  if (m.empty() || std::accumulate(inliers.begin(), inliers.end(), 0) < least_matches)
    return std::nullopt;
  const cv::Matx23d to_picture(m.ptr<double>());
  if (!plausible(to_picture)) return std::nullopt;
  return to_picture;
}

cv::Rect2d reach_of(const std::vector<Anchor>& anchors) {
  std::vector<cv::Point2f> at;
  for (const Anchor& anchor : anchors) at.push_back(anchor.at_px);
  return cv::boundingRect(at);
}

struct Tried {
  Alignment alignment;
  std::vector<bool> held;  // by anchor; empty: not so far
};

// From a guess to the sub-pixel, in two rounds.
Tried try_near(const AlignmentReference& reference, const cv::Mat& half_view,
               const cv::Matx23d& near, int reach) {
  Tried tried;
  Alignment& result = tried.alignment;
  cv::Matx23d to_picture = near;
  Similarity fit;
  Pairs pairs;
  for (int round = 0; round < 2; ++round) {
    pairs = find_anchors(reference, half_view, to_picture, round == 0 ? reach : reach_then);
    if (pairs.reference.size() < least_matches) return tried;
    fit = fit_robustly(pairs.reference, pairs.picture);
    if (!plausible(fit.to_picture)) return tried;
    to_picture = fit.to_picture;
  }
  tried.held.assign(reference.anchors.size(), false);
  double inliers = 0;
  for (std::size_t i = 0; i < fit.weight.size(); ++i) {
    if (fit.weight[i] <= 0) continue;
    inliers += 1;
    tried.held[pairs.anchor[i]] = true;
  }
  result.inlier_share = inliers / static_cast<double>(reference.anchors.size());
  result.residual_px = fit.residual_px;
  result.spread_px =
      spread_px(pairs.reference, pairs.picture, fit.weight, reach_of(reference.anchors));
  if (result.inlier_share < least_inlier_share || inliers < least_matches ||
      result.spread_px > most_spread_px)
    return tried;
  result.found = true;
  result.to_picture = to_picture;
  result.scale = std::hypot(to_picture(0, 0), to_picture(1, 0));
  result.turn_deg = -std::atan2(to_picture(1, 0), to_picture(0, 0)) * 180 / CV_PI;
  const cv::Point2d middle(reference.picture_px.width / 2.0, reference.picture_px.height / 2.0);
  result.shift_px = cv::norm(apply(to_picture, middle) - middle);
  return tried;
}

}  // namespace

AlignmentViews alignment_views(const cv::Mat& grey, cv::Size reference_px) {
  AlignmentViews views;
  cv::resize(grey, views.half, {reference_px.width / 2, reference_px.height / 2}, 0, 0,
             cv::INTER_AREA);
  const double scale = coarse_width_px / reference_px.width;
  cv::resize(views.half, views.coarse,
             {static_cast<int>(coarse_width_px),
              static_cast<int>(std::lround(scale * reference_px.height))},
             0, 0, cv::INTER_AREA);
  return views;
}

AlignmentReference learn_alignment(const cv::Mat& grey) {
  AlignmentReference reference;
  reference.picture_px = grey.size();
  const AlignmentViews views = alignment_views(grey, grey.size());
  add_features(reference, views, {1, 0, 0, 0, 1, 0});

  std::vector<cv::Point2f> corners;
  cv::Mat smooth;
  cv::GaussianBlur(views.half, smooth, {}, 1.0);
  cv::goodFeaturesToTrack(smooth, corners, 2 * static_cast<int>(most_anchors), 0.01, 16,
                          cv::noArray(), 5);
  const int border = anchor_side / 2 + 1;
  for (const cv::Point2f& corner : corners) {
    const cv::Point at(cvRound(corner.x), cvRound(corner.y));
    const cv::Rect box(at.x - anchor_side / 2, at.y - anchor_side / 2, anchor_side, anchor_side);
    if (at.x < border || at.y < border || at.x >= smooth.cols - border ||
        at.y >= smooth.rows - border)
      continue;
    const cv::Point2f middle(static_cast<float>(at.x) - 0.5F, static_cast<float>(at.y) - 0.5F);
    Anchor anchor{enlarge(middle, half), {}};  // an even side has its middle between pixels
    views.half(box).convertTo(anchor.patch, CV_32F);
    if (make_unit(anchor.patch)) reference.anchors.push_back(std::move(anchor));
  }
  return reference;
}

void add_features(AlignmentReference& reference, const AlignmentViews& views,
                  const cv::Matx23d& to_picture) {
  std::vector<cv::KeyPoint> keys;
  cv::Mat descriptors;
  detector()->detectAndCompute(views.coarse, cv::noArray(), keys, descriptors);
  const cv::Matx23d back = inverse_of(to_picture);
  const double scale = static_cast<double>(views.coarse.cols) / reference.picture_px.width;
  for (const cv::KeyPoint& key : keys)
    reference.points_px.emplace_back(apply(back, enlarge(key.pt, scale)));
  reference.descriptors.push_back(descriptors);
}

void keep_steady_anchors(AlignmentReference& reference,
                         const std::vector<std::vector<bool>>& held_by_picture) {
  std::vector<std::pair<double, std::size_t>> ranked;
  for (std::size_t i = 0; i < reference.anchors.size(); ++i) {
    double held = 0;
    for (const auto& picture : held_by_picture) held += picture[i] ? 1 : 0;
    ranked.emplace_back(-held, i);
  }
  std::stable_sort(ranked.begin(), ranked.end());
  if (ranked.size() > most_anchors) ranked.resize(most_anchors);
  std::vector<Anchor> kept;
  for (const auto& [held, i] : ranked) kept.push_back(reference.anchors[i]);
  reference.anchors = std::move(kept);
}

Alignment align(const AlignmentReference& reference, const AlignmentViews& views,
                std::vector<bool>* held) {
  Tried best;
  if (const auto near = coarse_alignment(reference, views.coarse))
    best = try_near(reference, views.half, *near, reach_first);
  if (best.alignment.inlier_share < sure_inlier_share) {
    if (const auto near = vote(reference, views.half)) {
      Tried other = try_near(reference, views.half, *near, reach_after_vote);
      if (other.alignment.inlier_share > best.alignment.inlier_share) best = std::move(other);
    }
  }
  if (held) *held = std::move(best.held);
  if (held && held->empty()) held->assign(reference.anchors.size(), false);
  return best.alignment;
}

}  // namespace lastlook::vision
