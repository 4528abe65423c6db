// SPDX-License-Identifier: Apache-2.0
// Reads the 2D codes in a picture: QR (ISO/IEC 18004) and Data Matrix (ISO/IEC 16022), at any
// angle (rectangular Data Matrix only near upright). Both carry Reed-Solomon check words, so what
// is returned was verified by the code itself.
#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <string>
#include <vector>

namespace lastlook::vision {

enum class Symbology { qr, data_matrix };

struct TagReading {
  std::string text;  // UTF-8
  Symbology symbology = Symbology::qr;
  std::array<cv::Point2d, 4>
      corners_px;  // as the code reads: top left, top right, bottom right, bottom left
};

enum class Effort {
  quick,     // one upright try: for live frames that will be followed by others
  thorough,  // tries scales, contrast and sharpening until something reads
};

// picture: 8-bit BGR or grey. Every different code once; empty where none reads. Never throws.
std::vector<TagReading> read_tags(const cv::Mat& picture, Effort effort = Effort::thorough);

const char* name_of(Symbology symbology);  // "QR" "Data Matrix"

}  // namespace lastlook::vision
