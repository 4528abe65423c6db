// SPDX-License-Identifier: Apache-2.0
// A folder of pictures as a camera: sorted by name, round and round. It shows one until told to
// show another, or each for a while.
#pragma once

#include <chrono>
#include <condition_variable>
#include <filesystem>
#include <mutex>
#include <string>
#include <string_view>
#include <vector>

#include "kiosk/capture/source.h"

namespace lastlook::capture {

bool is_picture_name(const std::filesystem::path& path);  // by its ending

class FolderSource final : public Source {
 public:
  // each_for zero: only on request. A path to one picture is a folder of one.
  explicit FolderSource(std::filesystem::path path, std::chrono::milliseconds each_for = {});

  // From any thread, before open() too:
  void next();                         // the picture after the one shown
  Status show(std::string_view name);  // a file's name; not_found
  std::vector<std::string> names() const;

  Result<Opened> open() override;
  Result<Picture> take() override;  // one frame each time that the shown picture changes
  void close() override;
  void interrupt() override;

 private:
  const std::chrono::milliseconds each_for_;
  std::filesystem::path folder_;
  mutable std::mutex mutex_;
  std::condition_variable changed_;
  std::vector<std::string> names_;
  std::size_t shown_ = 0;
  bool fresh_ = true;  // shown_ was not taken yet
  bool interrupted_ = false;
};

}  // namespace lastlook::capture
