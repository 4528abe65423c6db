// SPDX-License-Identifier: Apache-2.0
#include "vision/patch.h"

#include "vision/features.h"

namespace lastlook::vision {
namespace {

// Whether the cell of a component's patch that shows this place of the reference is its own.
bool owns(const PatchFrame& frame, cv::Point2d at) {
  const int cols = frame.size.width / cell_side;
  const int x = static_cast<int>((at.x - frame.region_px.x) * frame.scale / cell_side);
  const int y = static_cast<int>((at.y - frame.region_px.y) * frame.scale / cell_side);
  return frame.own.at<unsigned char>(y * cols + x) != 0;
}

const cv::Rect2d gasket(100, 100, 600, 400);
const cv::Rect2d terminals(220, 200, 300, 120);

TEST(PatchFrame, OfAGasketLeavesOutWhatLiesWithinIt) {
  const PatchFrame frame = patch_frame(gasket, {terminals});
  EXPECT_FALSE(owns(frame, {370, 260}));
  EXPECT_TRUE(owns(frame, {110, 300}));
  EXPECT_TRUE(owns(frame, {640, 450}));
}

TEST(PatchFrame, OfWhatLiesWithinAGasketIsAllItsOwn) {
  const PatchFrame frame = patch_frame(terminals, {gasket});
  EXPECT_TRUE(owns(frame, {370, 260}));
}

TEST(PatchFrame, LeavesOutANeighbourInItsMargin) {
  const cv::Rect2d screw(100, 100, 80, 80);
  const PatchFrame frame = patch_frame(screw, {{182, 100, 80, 80}});
  EXPECT_TRUE(owns(frame, {140, 140}));
  EXPECT_FALSE(owns(frame, {187, 140}));
}

TEST(PatchFrame, KeepsItsPlaceWhereAnotherFillsIt) {
  const PatchFrame frame = patch_frame({100, 100, 100, 100}, {{102, 102, 96, 96}});
  EXPECT_TRUE(owns(frame, {150, 150}));
}

TEST(Describe, SaysTheSameWhateverStandsInCellsOfAnother) {
  cv::Mat patch(80, 80, CV_32FC3);
  cv::RNG rng(2);
  rng.fill(patch, cv::RNG::UNIFORM, 20, 200);
  cv::Mat own(1, 100, CV_8U, cv::Scalar(1));
  // Cells 3..6 each way are another's; a cell's edges reach one pixel into its neighbours.
  for (int y = 3; y <= 6; ++y)
    for (int x = 3; x <= 6; ++x) own.at<unsigned char>(y * 10 + x) = 0;
  cv::Mat other = patch.clone();
  other(cv::Rect(26, 26, 28, 28)).setTo(cv::Scalar(0, 0, 250));
  EXPECT_EQ(cv::norm(describe(patch, own), describe(other, own), cv::NORM_INF), 0);
}

}  // namespace
}  // namespace lastlook::vision
