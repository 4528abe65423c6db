// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/kept_picture.h"

#include "vision/picture_file.h"

namespace lastlook::app {

Result<cv::Mat> kept_picture(const records::Pictures& pictures, const std::string& hash) {
  const auto whole = pictures.is_whole(hash);
  if (!whole) return tl::unexpected(whole.error());
  if (!*whole)
    return fail(Category::damaged, pictures.path_of(hash).string() + ": missing or altered");
  return vision::read_picture(pictures.path_of(hash));
}

}  // namespace lastlook::app
