// SPDX-License-Identifier: Apache-2.0
#include "vision/ridge.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace lastlook::vision {
namespace {

// Mean and 1/sd of each column, weighted; a column that hardly varies counts little.
struct Standard {
  cv::Mat mean;
  cv::Mat inverse_sd;
  double varying = 1;  // columns that are not the same in all examples
};

Standard standardise(const Examples& examples) {
  const int columns = examples.rows.cols;
  cv::Mat sum = cv::Mat::zeros(1, columns, CV_64F);
  cv::Mat squares = cv::Mat::zeros(1, columns, CV_64F);
  double total = 0;
  for (int i = 0; i < examples.rows.rows; ++i) {
    const double w = examples.weight[static_cast<std::size_t>(i)];
    cv::Mat row;
    examples.rows.row(i).convertTo(row, CV_64F);
    sum += w * row;
    squares += w * row.mul(row);
    total += w;
  }
  Standard out;
  const cv::Mat mean = sum / total;
  cv::Mat variance = squares / total - mean.mul(mean);
  out.varying = std::max(1, cv::countNonZero(variance > 1e-12));
  variance = cv::max(variance, 0.0) + 0.0025;
  cv::Mat sd;
  cv::sqrt(variance, sd);
  mean.convertTo(out.mean, CV_32F);
  cv::Mat(1.0 / sd).convertTo(out.inverse_sd, CV_32F);
  return out;
}

struct Solution {
  cv::Mat alpha;  // one a row
  std::vector<double> held_out;
  std::vector<double> error;  // of each group: weighted mean of squares
};

Solution solve(const cv::Mat& kernel, const Examples& examples,
               const std::map<int, std::vector<int>>& groups, double penalty) {
  const int n = kernel.rows;
  cv::Mat system = kernel.clone();
  cv::Mat target(n, 1, CV_64F);
  for (int i = 0; i < n; ++i) {
    system.at<double>(i, i) += penalty / examples.weight[static_cast<std::size_t>(i)];
    target.at<double>(i) = examples.target[static_cast<std::size_t>(i)];
  }
  cv::Mat inverse;
  cv::invert(system, inverse, cv::DECOMP_CHOLESKY);
  Solution out;
  out.alpha = inverse * target;
  out.held_out.resize(static_cast<std::size_t>(n));
  for (const auto& [group, members] : groups) {
    const int m = static_cast<int>(members.size());
    cv::Mat block(m, m, CV_64F);
    cv::Mat alpha(m, 1, CV_64F);
    for (int i = 0; i < m; ++i) {
      alpha.at<double>(i) = out.alpha.at<double>(members[static_cast<std::size_t>(i)]);
      for (int j = 0; j < m; ++j)
        block.at<double>(i, j) = inverse.at<double>(members[static_cast<std::size_t>(i)],
                                                    members[static_cast<std::size_t>(j)]);
    }
    double error = 0;
    double total = 0;
    cv::Mat residual;
    cv::solve(block, alpha, residual, cv::DECOMP_CHOLESKY);
    for (int i = 0; i < m; ++i) {
      const auto at = static_cast<std::size_t>(members[static_cast<std::size_t>(i)]);
      const double r = residual.at<double>(i);
      out.held_out[at] = examples.target[at] - r;
      const double short_of =
          std::max(0.0, examples.target[at] * r);  // beyond the target is no error
      error += examples.weight[at] * short_of * short_of;
      total += examples.weight[at];
    }
    out.error.push_back(error / total);
  }
  return out;
}

struct Spread {
  double mean = INFINITY;
  double standard_error = 0;
};
Spread spread_of(const std::vector<double>& values) {
  const auto n = static_cast<double>(values.size());
  double sum = 0;
  double squares = 0;
  for (const double v : values) {
    sum += v;
    squares += v * v;
  }
  const double mean = sum / n;
  if (!std::isfinite(mean)) return {};
  const double variance = n > 1 ? std::max(0.0, squares / n - mean * mean) * n / (n - 1) : 0.0;
  return {mean, std::sqrt(variance / n)};
}

}  // namespace

double LinearJudge::score(const cv::Mat& row) const {
  return weights.dot(row) + bias;
}

Result<RidgeResult> teach_ridge(const Examples& examples, const std::vector<double>& penalties) {
  const bool both =
      std::any_of(examples.target.begin(), examples.target.end(), [](double t) { return t > 0; }) &&
      std::any_of(examples.target.begin(), examples.target.end(), [](double t) { return t < 0; });
  if (!both) return fail(Category::bad_input, "expected examples of both kinds to teach from");
  if (!cv::checkRange(examples.rows))
    return fail(Category::bad_input, "expected finite numbers to teach from");
  const Standard standard = standardise(examples);
  cv::Mat z = examples.rows.clone();
  for (int i = 0; i < z.rows; ++i) {
    cv::Mat row = z.row(i);
    row = (row - standard.mean).mul(standard.inverse_sd);
  }
  cv::Mat kernel;
  cv::mulTransposed(z, kernel, false, cv::noArray(), 1.0 / standard.varying, CV_64F);
  kernel += 1.0;  // stands for the bias
  std::map<int, std::vector<int>> groups;
  for (int i = 0; i < z.rows; ++i) groups[examples.group[static_cast<std::size_t>(i)]].push_back(i);

  std::vector<Solution> solutions;
  std::vector<Spread> errors;
  for (const double penalty : penalties) {
    solutions.push_back(solve(kernel, examples, groups, penalty));
    errors.push_back(spread_of(solutions.back().error));
  }
  const auto least =
      std::min_element(errors.begin(), errors.end(),
                       [](const Spread& a, const Spread& b) { return a.mean < b.mean; });
  RidgeResult best;
  cv::Mat alpha;
  for (std::size_t i = 0; i < penalties.size(); ++i) {
    if (!(errors[i].mean <= least->mean + least->standard_error)) continue;
    alpha = solutions[i].alpha;
    best.held_out = std::move(solutions[i].held_out);
    best.penalty = penalties[i];
  }
  if (alpha.empty()) return fail(Category::bad_input, "the examples cannot be told apart");
  cv::Mat weights = cv::Mat::zeros(1, z.cols, CV_64F);
  double bias = 0;
  for (int i = 0; i < z.rows; ++i) {
    cv::Mat row;
    z.row(i).convertTo(row, CV_64F, alpha.at<double>(i) / standard.varying);
    weights += row;
    bias += alpha.at<double>(i);
  }
  weights.convertTo(weights, CV_32F);
  best.judge.weights = weights.mul(standard.inverse_sd);
  best.judge.bias = bias - best.judge.weights.dot(standard.mean);
  return best;
}

}  // namespace lastlook::vision
