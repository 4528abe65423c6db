// SPDX-License-Identifier: Apache-2.0
// A similarity (turn, scale, shift) through pairs of points, and how far off it may be.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

namespace lastlook::vision {

cv::Point2d apply(const cv::Matx23d& m, cv::Point2d p);

struct Similarity {
  cv::Matx23d to_picture;
  double residual_px = 0;      // root mean square over the pairs that count
  std::vector<double> weight;  // of each pair, 0 (does not count) to 1
};

// Iteratively reweighted least squares (Tukey's biweight). from, to: as many, pixels. Where fewer
// than three pairs count, what the last step gave.
Similarity fit_robustly(const std::vector<cv::Point2d>& from, const std::vector<cv::Point2d>& to);

// How far the worst corner of `area` moves as one part of it after the other is left out, pixels:
// the standard error by the jackknife over three by three parts (Efron and Tibshirani, An
// Introduction to the Bootstrap, 1993, chapter 11; from memory). Pairs of one part err together, as
// where a shadow's edge lies over them, so leaving out single pairs would promise too much. weight:
// of the fit, and held; where many pairs are half believed the true error is larger. Infinite where
// fewer than four parts hold pairs that count: what is left does not say.
double spread_px(const std::vector<cv::Point2d>& from, const std::vector<cv::Point2d>& to,
                 const std::vector<double>& weight, const cv::Rect2d& area);

}  // namespace lastlook::vision
