// SPDX-License-Identifier: Apache-2.0
#include "vision/tag.h"

#define ZX_USE_UTF8 1  // text() gives UTF-8
#include <ZXing/ReadBarcode.h>

#include <algorithm>
#include <opencv2/imgproc.hpp>

namespace lastlook::vision {
namespace {

void read_into(std::vector<TagReading>& found, const cv::Mat& grey, double scale, bool harder) {
  ZXing::DecodeHints hints;
  hints.setFormats(ZXing::BarcodeFormat::QRCode | ZXing::BarcodeFormat::DataMatrix);
  hints.setTryHarder(harder);
  hints.setTryRotate(harder);
  const ZXing::ImageView view(grey.data, grey.cols, grey.rows, ZXing::ImageFormat::Lum,
                              static_cast<int>(grey.step));
  for (const ZXing::Result& result : ZXing::ReadBarcodes(view, hints)) {
    if (!result.isValid()) continue;
    TagReading reading;
    reading.text = result.text();
    reading.symbology =
        result.format() == ZXing::BarcodeFormat::QRCode ? Symbology::qr : Symbology::data_matrix;
    const ZXing::Position corners = result.position();
    for (std::size_t i = 0; i < 4; ++i) {
      const auto p = corners[static_cast<int>(i)];
      reading.corners_px[i] = {p.x / scale, p.y / scale};
    }
    const auto same = [&](const TagReading& other) {
      return other.text == reading.text && other.symbology == reading.symbology;
    };
    if (std::none_of(found.begin(), found.end(), same)) found.push_back(std::move(reading));
  }
}

cv::Mat scaled(const cv::Mat& grey, double scale) {
  cv::Mat out;
  cv::resize(grey, out, {}, scale, scale, scale < 1 ? cv::INTER_AREA : cv::INTER_CUBIC);
  return out;
}

cv::Mat sharpened(const cv::Mat& grey, double sigma) {
  cv::Mat soft;
  cv::Mat out;
  cv::GaussianBlur(grey, soft, {}, sigma);
  cv::addWeighted(grey, 2.5, soft, -1.5, 0, out);
  return out;
}

}  // namespace

std::vector<TagReading> read_tags(const cv::Mat& picture, Effort effort) {
  std::vector<TagReading> found;
  if (picture.empty() || picture.depth() != CV_8U) return found;
  cv::Mat grey = picture;
  if (picture.channels() == 3) cv::cvtColor(picture, grey, cv::COLOR_BGR2GRAY);
  try {
    read_into(found, grey, 1, effort == Effort::thorough);
    if (effort == Effort::quick || !found.empty()) return found;
    read_into(found, scaled(grey, 2), 2, true);
    if (!found.empty()) return found;
    const cv::Mat large = scaled(grey, 2);
    for (const double sigma : {2.0, 4.0}) {
      read_into(found, sharpened(large, sigma), 2, true);
      if (!found.empty()) return found;
    }
    read_into(found, scaled(grey, 0.6), 0.6, true);
  } catch (const std::exception&) {
    // A reader that gives up on a picture has read nothing from it.
    found.clear();
  }
  return found;
}

const char* name_of(Symbology symbology) {
  return symbology == Symbology::qr ? "QR" : "Data Matrix";
}

}  // namespace lastlook::vision
