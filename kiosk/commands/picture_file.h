// SPDX-License-Identifier: Apache-2.0
// A picture file as part of a drawing.
#pragma once

#include <string>

#include "analytics/result.h"

namespace lastlook::commands {

struct PictureFile {
  std::string data_uri;
  double width = 0;  // pixels
  double height = 0;
};

// A JPEG or PNG. not_found where it cannot be read, bad_input where it is neither.
Result<PictureFile> read_picture(const std::string& path);

}  // namespace lastlook::commands
