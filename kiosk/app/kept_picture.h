// SPDX-License-Identifier: Apache-2.0
// A picture that was kept at this station, by its hash; never another one in its place.
#pragma once

#include <opencv2/core.hpp>
#include <string>

#include "analytics/result.h"
#include "kiosk/records/pictures.h"

namespace lastlook::app {

// 8-bit BGR. damaged: it is missing or altered; and what reading it said.
Result<cv::Mat> kept_picture(const records::Pictures& pictures, const std::string& hash);

}  // namespace lastlook::app
