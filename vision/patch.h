// SPDX-License-Identifier: Apache-2.0
// A component's neighbourhood cut from a picture as if the picture had been taken like the
// reference: in place, in size, and in the reference's overall brightness and colour.
#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <vector>

namespace lastlook::vision {

// The grid on which a component is looked at.
struct PatchFrame {
  cv::Rect2d region_px;  // on the reference: the component's box and a margin
  cv::Size size;         // patch pixels, a multiple of the cell's side
  double scale = 1;      // patch pixels per reference pixel
  cv::Rect2d inner;      // the component's box, in patch pixels
  // One row, 8-bit, a value for each cell of describe(): 0 where another component belongs, whose
  // state must not sway this one's.
  cv::Mat own;
  bool turns = false;  // the component is right at any turn about its box's middle
};
// others_px: the boxes of the other components. One that lies around this one does not take its
// place; one that lies within it does.
PatchFrame patch_frame(const cv::Rect2d& box_px, const std::vector<cv::Rect2d>& others_px);

// Patch pixels -> reference pixels.
cv::Matx23d patch_to_reference(const PatchFrame& frame);
cv::Matx23d inverse_of(const cv::Matx23d& m);
// a after b.
cv::Matx23d compose(const cv::Matx23d& a, const cv::Matx23d& b);

// A picture is not smaller: it must fill its thumbnail.
constexpr int least_picture_side = 64;
const cv::Size thumbnail_size(64, 48);

// A picture in the sizes that patches are cut from.
struct PictureViews {
  cv::Mat full;     // 8-bit BGR
  cv::Mat half;     // half the size
  cv::Mat quarter;  // a quarter
};
PictureViews picture_views(const cv::Mat& bgr);

// Multiply a picture's B, G, R by these to get the reference's overall light.
using Gains = std::array<float, 3>;
// reference_thumbnail: a small 8-bit BGR picture of the reference. Gains from the medians of the
// ratios, so parts that come and go do not pull.
Gains light_gains(const cv::Mat& reference_thumbnail, const PictureViews& views,
                  const cv::Matx23d& to_picture, cv::Size reference_px);
cv::Mat make_thumbnail(const PictureViews& views, const cv::Matx23d& to_picture,
                       cv::Size reference_px);

// 32-bit float BGR, 0..255 and a little over, gains applied.
cv::Mat cut_patch(const PictureViews& views, const PatchFrame& frame, const cv::Matx23d& to_picture,
                  const Gains& gains);

}  // namespace lastlook::vision
