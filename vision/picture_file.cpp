// SPDX-License-Identifier: Apache-2.0
#include "vision/picture_file.h"

#include <opencv2/imgcodecs.hpp>
#include <system_error>

namespace lastlook::vision {

namespace fs = std::filesystem;

Result<bool> is_there(const fs::path& path) {
  std::error_code error;
  const fs::file_status found = fs::status(path, error);
  if (error == std::errc::no_such_file_or_directory) return false;
  if (error) return fail(Category::io, path.string() + ": cannot be read, " + error.message());
  return found.type() != fs::file_type::not_found;
}

Result<cv::Mat> read_picture(const fs::path& path) {
  const auto there = is_there(path);
  if (!there) return tl::unexpected(there.error());
  if (!*there) return fail(Category::not_found, path.string() + ": no such file");
  cv::Mat pixels;
  try {
    pixels = cv::imread(path.string(), cv::IMREAD_COLOR);
  } catch (const cv::Exception&) {
    pixels.release();  // a damaged header; the sentence below says so
  }
  if (pixels.empty())
    return fail(Category::bad_input, path.string() + ": cannot be read as a picture");
  return pixels;
}

}  // namespace lastlook::vision
