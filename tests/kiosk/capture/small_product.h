// SPDX-License-Identifier: Apache-2.0
// A product drawn here, small enough to be taught within a test: a printed plate with a tag, a blue
// knob and, in one variant, no yellow cover.
#pragma once

#include <ZXing/BitMatrix.h>
#include <ZXing/MultiFormatWriter.h>

#include <cstdlib>
#include <filesystem>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>
#include <string>

#include "kiosk/domain/master.h"
#include "vision/teach.h"

namespace lastlook::capture::testing {

struct Scene {
  std::string code = "SP1-0001";
  std::string second_code{};  // of another unit, at the edge
  bool cover = true;
  bool plate = true;
  double light = 1;
  cv::Point shift{0, 0};
  int noise = 1;  // seed
};

inline void draw_code(cv::Mat& picture, const std::string& text, cv::Point at) {
  const auto matrix = ZXing::MultiFormatWriter(ZXing::BarcodeFormat::QRCode).encode(text, 0, 0);
  constexpr int module_px = 4;
  cv::rectangle(picture,
                {at, cv::Size((matrix.width() + 4) * module_px, (matrix.height() + 4) * module_px)},
                {235, 235, 235}, cv::FILLED);
  for (int y = 0; y < matrix.height(); ++y) {
    for (int x = 0; x < matrix.width(); ++x) {
      if (!matrix.get(x, y)) continue;
      const cv::Point corner = at + cv::Point((x + 2) * module_px, (y + 2) * module_px);
      cv::rectangle(picture, {corner, cv::Size(module_px, module_px)}, {25, 25, 25}, cv::FILLED);
    }
  }
}

inline cv::Mat picture_of(const Scene& scene) {
  cv::Mat picture(480, 640, CV_8UC3, cv::Scalar(90, 95, 92));
  if (scene.plate) {
    cv::RNG print(7);  // the plate's own print, the same on each unit
    for (int i = 0; i < 220; ++i) {
      const cv::Point at(print.uniform(20, 600), print.uniform(20, 440));
      const cv::Size size(print.uniform(6, 34), print.uniform(6, 34));
      cv::rectangle(picture, {at + scene.shift, size}, cv::Scalar::all(print.uniform(40, 180)),
                    cv::FILLED);
    }
    cv::circle(picture, cv::Point(140, 130) + scene.shift, 42, {190, 80, 30}, cv::FILLED);
    cv::circle(picture, cv::Point(140, 130) + scene.shift, 16, {230, 180, 150}, cv::FILLED);
    if (scene.cover) {
      const cv::Rect cover(cv::Point(300, 60) + scene.shift, cv::Size(140, 100));
      cv::rectangle(picture, cover, {40, 190, 210}, cv::FILLED);
      for (int rib = 10; rib < 140; rib += 20) {
        cv::line(picture, cover.tl() + cv::Point(rib, 8), cover.tl() + cv::Point(rib, 92),
                 {20, 120, 140}, 4);
      }
    }
    draw_code(picture, scene.code, cv::Point(240, 280) + scene.shift);
  }
  if (!scene.second_code.empty()) draw_code(picture, scene.second_code, {20, 330});
  cv::Mat noise(picture.size(), CV_16SC3), sum;
  cv::RNG(static_cast<std::uint64_t>(scene.noise)).fill(noise, cv::RNG::NORMAL, 0, 3);
  picture.convertTo(sum, CV_16S, scene.light);
  sum += noise;
  sum.convertTo(picture, CV_8U);
  cv::GaussianBlur(picture, picture, {3, 3}, 0.8);
  return picture;
}

inline domain::Master small_master() {
  domain::Master master;
  master.revision = 1;
  master.product = "small product";
  master.tag_pattern = R"((?:(?P<type>SP\d)-)?(?P<serial>\d{4}))";
  master.components = {{"knob", "Knob", {}}, {"cover", "Cover", {}}};
  const auto variant = [](const char* id, domain::Expectation cover) {
    return domain::Variant{
        id, id, "", "SP1", {{"knob", domain::Expectation::present, ""}, {"cover", cover, ""}}};
  };
  master.variants = {variant("SP", domain::Expectation::present),
                     variant("SPN", domain::Expectation::absent)};
  return master;
}

// Taught from three good pictures.
inline vision::Model taught_small_product() {
  std::string made = (std::filesystem::temp_directory_path() / "small-product-XXXXXX").string();
  const std::filesystem::path folder = ::mkdtemp(made.data());
  vision::TeachingFolder teaching;
  teaching.picture_px = {640, 480};
  teaching.components = {{"knob", {90, 80, 100, 100}}, {"cover", {290, 50, 160, 120}}};
  using enum vision::Expected;
  teaching.variants = {{"SP", {present, present}}, {"SPN", {present, absent}}};
  teaching.reference = folder / "reference.png";
  cv::imwrite(teaching.reference.string(), picture_of(Scene{}));
  for (int i = 0; i < 3; ++i) {
    const bool cover = i % 2 == 0;
    const std::string file = "good-" + std::to_string(i) + ".png";
    cv::imwrite((folder / file).string(), picture_of({.code = "SP1-000" + std::to_string(i + 2),
                                                      .cover = cover,
                                                      .light = 0.85 + 0.15 * i,
                                                      .shift = {i - 3, 2 * i - 5},
                                                      .noise = i + 2}));
    const vision::Label good{vision::State::present, true, true};
    const vision::Label bare{vision::State::absent, true, true};
    teaching.pictures.push_back(
        {folder / file, file, cover ? 0U : 1U, {good, cover ? good : bare}});
  }
  vision::Model model = vision::teach(teaching)->model;
  std::filesystem::remove_all(folder);
  return model;
}

}  // namespace lastlook::capture::testing
