// SPDX-License-Identifier: Apache-2.0
// Pictures in files. Nothing here throws: a header may claim anything.
#pragma once

#include <filesystem>
#include <opencv2/core.hpp>

#include "analytics/result.h"

namespace lastlook::vision {

// False only where the disk says that there is none; io: it did not say.
Result<bool> is_there(const std::filesystem::path& path);

// 8-bit BGR. Errors: not_found, io, bad_input (not a picture, or damaged).
Result<cv::Mat> read_picture(const std::filesystem::path& path);

}  // namespace lastlook::vision
