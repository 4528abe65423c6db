// SPDX-License-Identifier: Apache-2.0
// The contact sheet of what was taught: the words, and the pictures on one plate.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "kiosk/flows/teaching.h"
#include "kiosk/screens/facts.h"
#include "vision/teach.h"

namespace lastlook::app {

// So many of each row are shown: right ones, and others.
inline constexpr std::size_t most_shown = 6;

flows::ContactSheet contact_sheet(const vision::TeachingFolder& folder,
                                  const vision::TeachResult& result);

// Each component in each picture that the sheet shows, cut out where it lies, in one picture.
struct ContactPlate {
  cv::Mat picture;  // 8-bit BGR; empty: nothing to show
  std::vector<screens::Thumb> thumbs;
};
// Errors: of a picture that cannot be read any more.
Result<ContactPlate> contact_plate(const vision::TeachingFolder& folder, const vision::Model& model,
                                   const flows::ContactSheet& sheet);

}  // namespace lastlook::app
