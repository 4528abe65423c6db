// SPDX-License-Identifier: Apache-2.0
#include "vision/ridge.h"

#include <cmath>

namespace lastlook::vision {
namespace {

Examples two_clouds() {
  Examples out;
  cv::RNG rng(9);
  for (int i = 0; i < 24; ++i) {
    const double target = i % 3 == 0 ? -1 : 1;
    cv::Mat row(1, 5, CV_32F);
    for (int j = 0; j < 5; ++j)
      row.at<float>(j) = static_cast<float>(rng.gaussian(1.0) + (j < 2 ? target : 0.0));
    out.rows.push_back(row);
    out.target.push_back(target);
    out.weight.push_back(target > 0 ? 0.75 : 1.5);
    out.group.push_back(i / 4);
  }
  return out;
}

// Ridge by its normal equations (Hoerl and Kennard, Technometrics 12, 1970), written out here for
// the group held out, on columns standardised as the whole set is.
double score_without_group(const Examples& all, int group, int row_index) {
  cv::Mat x;
  all.rows.convertTo(x, CV_64F);
  double total = 0;
  cv::Mat mean = cv::Mat::zeros(1, x.cols, CV_64F);
  cv::Mat square = mean.clone();
  for (int i = 0; i < x.rows; ++i) {
    const double w = all.weight[static_cast<std::size_t>(i)];
    mean += w * x.row(i);
    square += w * x.row(i).mul(x.row(i));
    total += w;
  }
  mean /= total;
  cv::Mat sd;
  cv::sqrt(square / total - mean.mul(mean) + 0.0025, sd);
  for (int i = 0; i < x.rows; ++i) x.row(i) = (x.row(i) - mean) / sd / std::sqrt(5.0);
  cv::hconcat(x, cv::Mat::ones(x.rows, 1, CV_64F), x);
  cv::Mat normal = cv::Mat::eye(x.cols, x.cols, CV_64F) * 0.1;
  cv::Mat right = cv::Mat::zeros(x.cols, 1, CV_64F);
  for (int i = 0; i < x.rows; ++i) {
    if (all.group[static_cast<std::size_t>(i)] == group) continue;
    const double w = all.weight[static_cast<std::size_t>(i)];
    normal += w * x.row(i).t() * x.row(i);
    right += w * all.target[static_cast<std::size_t>(i)] * x.row(i).t();
  }
  cv::Mat beta;
  cv::solve(normal, right, beta, cv::DECOMP_CHOLESKY);
  return x.row(row_index).dot(beta.t());
}

TEST(Ridge, HeldOutScoresAreThoseOfAJudgeNotTaughtOnTheGroup) {
  const Examples examples = two_clouds();
  const Result<RidgeResult> result = teach_ridge(examples, {0.1});
  ASSERT_TRUE(result);
  for (const int row : {0, 5, 13, 22})
    EXPECT_NEAR(result->held_out[static_cast<std::size_t>(row)],
                score_without_group(examples, examples.group[static_cast<std::size_t>(row)], row),
                1e-3);
}

TEST(Ridge, TellsTwoCloudsApart) {
  const Examples examples = two_clouds();
  const Result<RidgeResult> result = teach_ridge(examples, {0.01, 0.1, 1});
  ASSERT_TRUE(result);
  int right = 0;
  for (int i = 0; i < examples.rows.rows; ++i)
    right +=
        result->judge.score(examples.rows.row(i)) * examples.target[static_cast<std::size_t>(i)] >
        0;
  EXPECT_GE(right, 22);
}

TEST(Ridge, RefusesWhatCannotBeTaught) {
  Examples one_kind = two_clouds();
  std::fill(one_kind.target.begin(), one_kind.target.end(), 1.0);
  EXPECT_FALSE(teach_ridge(one_kind, {0.1}));
  Examples broken = two_clouds();
  broken.rows.at<float>(3, 2) = NAN;
  EXPECT_FALSE(teach_ridge(broken, {0.1}));
}

}  // namespace
}  // namespace lastlook::vision
