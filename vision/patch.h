// SPDX-License-Identifier: Apache-2.0
// A component's neighbourhood cut from a picture as if the picture had been taken like the
// reference: in place, in size, and in the reference's overall brightness and colour.
#pragma once

#include <array>
#include <opencv2/core.hpp>

namespace lastlook::vision {

// The grid on which a component is looked at.
struct PatchFrame {
  cv::Rect2d region_px;  // on the reference: the component's box and a margin
  cv::Size size;         // patch pixels, a multiple of the cell's side
  double scale = 1;      // patch pixels per reference pixel
  cv::Rect2d inner;      // the component's box, in patch pixels
};
PatchFrame patch_frame(const cv::Rect2d& box_px, cv::Size picture_px);

// Patch pixels -> reference pixels.
cv::Matx23d patch_to_reference(const PatchFrame& frame);
cv::Matx23d inverse_of(const cv::Matx23d& m);
// a after b.
cv::Matx23d compose(const cv::Matx23d& a, const cv::Matx23d& b);

// A picture in the sizes that patches are cut from.
struct PictureViews {
  cv::Mat full;     // 8-bit BGR
  cv::Mat half;     // half the size
  cv::Mat quarter;  // a quarter
};
PictureViews picture_views(const cv::Mat& bgr);

// Multiply a picture's B, G, R by these to get the reference's overall light.
using Gains = std::array<float, 3>;
// thumbnail: a small 8-bit BGR picture of the reference. Gains from the medians of the ratios, so
// parts that come and go do not pull.
Gains light_gains(const cv::Mat& reference_thumbnail, const PictureViews& views,
                  const cv::Matx23d& to_picture, cv::Size reference_px);
cv::Mat make_thumbnail(const PictureViews& views, const cv::Matx23d& to_picture,
                       cv::Size reference_px);

// 32-bit float BGR, 0..255 and a little over, gains applied.
cv::Mat cut_patch(const PictureViews& views, const PatchFrame& frame, const cv::Matx23d& to_picture,
                  const Gains& gains);

}  // namespace lastlook::vision
