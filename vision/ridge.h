// SPDX-License-Identifier: Apache-2.0
// A linear judge: ridge regression on +1 (conforming) and -1, solved in the space of examples, so
// that few examples of many numbers are no trouble, and scored on each group of examples as if
// that group had not been taught (closed form; Pahikkala, Boberg and Salakoski, 2006: fast n-fold
// cross-validation for regularised least-squares).
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "analytics/result.h"

namespace lastlook::vision {

struct Examples {
  cv::Mat rows;                // 32-bit float, one example a row
  std::vector<double> target;  // +1 or -1
  std::vector<double> weight;  // > 0
  std::vector<int> group;      // held out together
};

struct LinearJudge {
  cv::Mat weights;  // one row of 32-bit floats
  double bias = 0;
  double score(const cv::Mat& row) const;
};

struct RidgeResult {
  LinearJudge judge;
  std::vector<double> held_out;  // each example's score by a judge not taught on its group
  double penalty = 0;
};

// Tries the penalties, which rise, and keeps the largest whose held-out error is within one
// standard error, over the groups, of the least (Breiman, Friedman, Olshen and Stone,
// Classification and Regression Trees, 1984, from memory): few groups say little, so the plainer
// judge is preferred. Errors: bad_input (fewer than two targets, numbers that are not finite).
Result<RidgeResult> teach_ridge(const Examples& examples, const std::vector<double>& penalties);

}  // namespace lastlook::vision
