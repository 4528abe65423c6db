// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/sample_pictures.h"

#include <sodium.h>

#include <opencv2/imgcodecs.hpp>

namespace lastlook::app {
namespace {

cv::Mat picture_of(const domain::LimitSample& sample) {
  std::vector<unsigned char> bytes(sample.picture.size());
  std::size_t size = 0;
  const bool read =
      sodium_base642bin(bytes.data(), bytes.size(), sample.picture.data(), sample.picture.size(),
                        "\r\n", &size, nullptr, sodium_base64_VARIANT_ORIGINAL) == 0;
  if (!read || size == 0) return {};
  bytes.resize(size);
  return cv::imdecode(bytes, cv::IMREAD_COLOR);
}

}  // namespace

bool SamplePictures::follow(const domain::Master& master) {
  if (of_ == master.limit_samples) return false;
  of_ = master.limit_samples;
  textures_.clear();
  for (const domain::LimitSample& sample : of_) {
    textures_.push_back(std::make_unique<PictureTexture>());
    if (const cv::Mat picture = picture_of(sample); !picture.empty())
      textures_.back()->show(picture);
  }
  return true;
}

std::vector<screens::SampleFacts> SamplePictures::shown() const {
  std::vector<screens::SampleFacts> all;
  for (const auto& texture : textures_)
    all.push_back({texture->id(), texture->id() == 0 ? 4.0F / 3.0F : texture->aspect()});
  return all;
}

}  // namespace lastlook::app
