// SPDX-License-Identifier: Apache-2.0
#include "kiosk/capture/source.h"

#include <fmt/core.h>

#include "kiosk/capture/driver.h"
#include "kiosk/capture/folder_source.h"
#include "kiosk/capture/live_source.h"
#include "kiosk/capture/video_source.h"

namespace lastlook::capture {

Result<std::shared_ptr<Source>> source_at(const std::filesystem::path& path, cv::Size size_px) {
  namespace fs = std::filesystem;
  // A camera may be plugged in later; what is under /dev is not asked whether it is there.
  if (path.string().starts_with("/dev/")) {
    return std::make_shared<LiveSource>(system_driver(), path, LiveOptions{.size_px = size_px});
  }
  std::error_code error;
  if (fs::is_directory(path, error) || is_picture_name(path)) {
    return std::make_shared<FolderSource>(path);
  }
  if (!fs::is_regular_file(path, error)) {
    return fail(Category::not_found,
                fmt::format("{}: expected a folder of pictures, a picture, a video or a camera",
                            path.string()));
  }
  return std::make_shared<VideoSource>(path);
}

}  // namespace lastlook::capture
