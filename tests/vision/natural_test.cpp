// SPDX-License-Identifier: Apache-2.0
#include "vision/natural.h"

#include "vision/features.h"

namespace lastlook::vision {
namespace {

// A patch of noise about a level, as describe() sees it.
cv::Mat row(cv::RNG& rng, const PatchFrame& frame, double level_of_middle) {
  cv::Mat patch(frame.size, CV_32FC3, cv::Scalar(90, 90, 90));
  patch(cv::Rect(frame.inner)).setTo(cv::Scalar::all(level_of_middle));
  cv::Mat grain(patch.size(), CV_32FC3);
  rng.fill(grain, cv::RNG::NORMAL, 0, 3);
  return describe(patch + grain, frame.own);
}

TEST(Natural, AFaultThatDiffersNoMoreThanRightOnesDoIsNone) {
  const PatchFrame frame = patch_frame({100, 100, 60, 60}, {});
  cv::RNG rng(1);
  std::vector<Sight> sights;
  for (int i = 0; i < 8; ++i) {
    Sight right;
    right.row = row(rng, frame, 100 + 10 * i);
    sights.push_back(right);
  }
  const auto fake = [&](double level) {
    Sight s;
    s.made_up = true;
    s.state = State::wrong;
    s.plain_row = row(rng, frame, level);
    s.row = s.plain_row;
    sights.push_back(s);
  };
  fake(135);  // as bright as right ones are
  fake(20);   // far darker than any
  drop_likely_right(sights, frame);
  ASSERT_EQ(sights.size(), 9U);
  EXPECT_TRUE(sights.back().made_up);
  EXPECT_EQ(cv::norm(sights.back().row, sights.back().plain_row), 0);
}

TEST(Natural, NothingIsDroppedWhereOneRightOneIsAllThereIs) {
  const PatchFrame frame = patch_frame({100, 100, 60, 60}, {});
  cv::RNG rng(2);
  std::vector<Sight> sights(2);
  sights[0].row = row(rng, frame, 100);
  sights[1].made_up = true;
  sights[1].plain_row = sights[1].row = row(rng, frame, 100);
  drop_likely_right(sights, frame);
  EXPECT_EQ(sights.size(), 2U);
}

}  // namespace
}  // namespace lastlook::vision
