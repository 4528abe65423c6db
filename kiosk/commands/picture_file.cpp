// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/picture_file.h"

#include <fstream>
#include <iterator>
#include <opencv2/imgcodecs.hpp>
#include <vector>

#include "kiosk/records/base64.h"

namespace lastlook::commands {
Result<PictureFile> read_picture(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  if (!in) return fail(Category::not_found, path + ": no such file can be read");
  const std::vector<unsigned char> bytes(std::istreambuf_iterator<char>(in), {});
  const bool png = bytes.size() > 3 && bytes[1] == 'P' && bytes[2] == 'N' && bytes[3] == 'G';
  const bool jpeg = bytes.size() > 2 && bytes[0] == 0xFF && bytes[1] == 0xD8;
  const cv::Mat image = png || jpeg ? cv::imdecode(bytes, cv::IMREAD_GRAYSCALE) : cv::Mat();
  if (image.empty()) return fail(Category::bad_input, path + ": expected a picture, JPEG or PNG");
  return PictureFile{
      (png ? "data:image/png;base64," : "data:image/jpeg;base64,") + records::to_base64(bytes),
      static_cast<double>(image.cols), static_cast<double>(image.rows)};
}

}  // namespace lastlook::commands
