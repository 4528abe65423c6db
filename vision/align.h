// SPDX-License-Identifier: Apache-2.0
// Where the unit lies in a picture: first by point features (ORB: Rublee et al., ICCV 2011, matched
// under RANSAC: Fischler and Bolles, CACM 24, 1981), then refined to sub-pixel by many small
// anchors, each found by normalised correlation, under a robust least-squares similarity.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "vision/judge.h"

namespace lastlook::vision {

// Of the anchors, those that must agree before the unit counts as found.
constexpr double least_inlier_share = 0.2;
// A unit whose place hangs on one part of the view (spread_px) is not found. Settled on practice
// pictures of a second product, taught under one light and moved and covered under two others: of
// 12 places that were 1.5 px off and more it refuses 7, and 4 of 189 that were not.
constexpr double most_spread_px = 0.9;
constexpr int anchor_side = 16;       // working pixels
constexpr int descriptor_bytes = 32;  // of ORB

struct Anchor {
  cv::Point2f at_px;  // on the reference
  cv::Mat patch;      // 32-bit float, zero mean, unit length, at the working scale
};

struct AlignmentReference {
  cv::Size picture_px;
  std::vector<cv::Point2f> points_px;  // on the reference, one for each row of descriptors
  cv::Mat descriptors;                 // ORB, descriptor_bytes a row
  std::vector<Anchor> anchors;
};

// The picture in the two sizes that alignment reads.
struct AlignmentViews {
  cv::Mat half;    // grey, half of the reference's size
  cv::Mat coarse;  // grey, 320 px wide
};
AlignmentViews alignment_views(const cv::Mat& grey, cv::Size reference_px);

// grey: 8-bit, the reference picture.
AlignmentReference learn_alignment(const cv::Mat& grey);
// Adds what the unit looks like under another light: features of a picture that was aligned.
void add_features(AlignmentReference& reference, const AlignmentViews& views,
                  const cv::Matx23d& to_picture);
// Keeps the anchors that hold on most of the pictures (parts that come and go make bad anchors).
void keep_steady_anchors(AlignmentReference& reference,
                         const std::vector<std::vector<bool>>& held_by_picture);

// Not found: found is false and to_picture is the identity.
Alignment align(const AlignmentReference& reference, const AlignmentViews& views,
                std::vector<bool>* held = nullptr);

}  // namespace lastlook::vision
