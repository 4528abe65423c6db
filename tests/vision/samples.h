// SPDX-License-Identifier: Apache-2.0
// The sample pictures as tests use them.
#pragma once

#include <unistd.h>

#include <filesystem>
#include <opencv2/core.hpp>
#include <opencv2/imgcodecs.hpp>
#include <string>

#include "tests/places.h"
#include "vision/teach.h"

namespace lastlook::vision::testing {

inline std::filesystem::path pump_folder() {
  return std::filesystem::path(source_dir()) / "sample-images" / "coolant-pump";
}

inline cv::Mat pump_picture(const std::string& file) {
  return cv::imread((pump_folder() / file).string(), cv::IMREAD_COLOR);
}

// The pump's folder with its good pictures only.
inline TeachingFolder good_pump_pictures() {
  TeachingFolder folder = *read_teaching_folder(pump_folder());
  std::erase_if(folder.pictures, [](const auto& p) { return !p.file.starts_with("teach"); });
  return folder;
}

// The pump, taught on its good pictures alone: once for each build of the tests, as teaching takes
// seconds and each test is a process of its own.
inline const Model& taught_pump() {
  static const Model model = [] {
    namespace fs = std::filesystem;
    const fs::path program = fs::read_symlink("/proc/self/exe");
    const auto built = fs::last_write_time(program).time_since_epoch().count();
    const fs::path file = program.string() + "-pump-" + std::to_string(built) + ".model";
    if (Result<Model> known = load_model(file)) return *known;
    const Model taught = teach(good_pump_pictures())->model;
    const fs::path mine = file.string() + "." + std::to_string(getpid());
    if (save_model(taught, mine)) fs::rename(mine, file);
    return taught;
  }();
  return model;
}

}  // namespace lastlook::vision::testing
