// SPDX-License-Identifier: Apache-2.0
// The sample pictures as tests use them.
#pragma once

#include <filesystem>
#include <opencv2/core.hpp>
#include <opencv2/imgcodecs.hpp>

#include "vision/teach.h"

namespace lastlook::vision::testing {

inline std::filesystem::path pump_folder() {
  return std::filesystem::path(LASTLOOK_SOURCE_DIR) / "sample-images" / "coolant-pump";
}

inline cv::Mat pump_picture(const std::string& file) {
  return cv::imread((pump_folder() / file).string(), cv::IMREAD_COLOR);
}

// The pump, taught once in a run on its good pictures alone.
inline const TeachResult& taught_pump() {
  static const TeachResult result = [] {
    TeachingFolder folder = *read_teaching_folder(pump_folder());
    std::erase_if(folder.pictures, [](const auto& p) { return !p.file.starts_with("teach"); });
    return *teach(folder);
  }();
  return result;
}

}  // namespace lastlook::vision::testing
