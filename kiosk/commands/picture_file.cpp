// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/picture_file.h"

#include <algorithm>
#include <cstdint>
#include <fstream>
#include <iterator>
#include <opencv2/imgcodecs.hpp>
#include <string_view>
#include <vector>

namespace lastlook::commands {
namespace {

// RFC 4648, section 4.
std::string base64(const std::vector<unsigned char>& bytes) {
  constexpr std::string_view letters =
      "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string out;
  out.reserve((bytes.size() + 2) / 3 * 4);
  for (std::size_t i = 0; i < bytes.size(); i += 3) {
    const std::size_t here = std::min<std::size_t>(3, bytes.size() - i);
    std::uint32_t group = 0;
    for (std::size_t k = 0; k < 3; ++k) group = group << 8U | (k < here ? bytes[i + k] : 0U);
    for (std::size_t k = 0; k < 4; ++k)
      out += k <= here ? letters[group >> (18 - 6 * k) & 0x3FU] : '=';
  }
  return out;
}

}  // namespace

Result<PictureFile> read_picture(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  if (!in) return fail(Category::not_found, path + ": no such file can be read");
  const std::vector<unsigned char> bytes(std::istreambuf_iterator<char>(in), {});
  const bool png = bytes.size() > 3 && bytes[1] == 'P' && bytes[2] == 'N' && bytes[3] == 'G';
  const bool jpeg = bytes.size() > 2 && bytes[0] == 0xFF && bytes[1] == 0xD8;
  const cv::Mat image = png || jpeg ? cv::imdecode(bytes, cv::IMREAD_GRAYSCALE) : cv::Mat();
  if (image.empty()) return fail(Category::bad_input, path + ": expected a picture, JPEG or PNG");
  return PictureFile{(png ? "data:image/png;base64," : "data:image/jpeg;base64,") + base64(bytes),
                     static_cast<double>(image.cols), static_cast<double>(image.rows)};
}

}  // namespace lastlook::commands
