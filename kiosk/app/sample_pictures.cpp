// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/sample_pictures.h"

#include <opencv2/imgcodecs.hpp>

#include "kiosk/records/base64.h"

namespace lastlook::app {
namespace {

cv::Mat picture_of(const domain::LimitSample& sample) {
  const auto bytes = records::from_base64(sample.picture);
  if (!bytes || bytes->empty()) return {};
  return cv::imdecode(*bytes, cv::IMREAD_COLOR);
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
