// SPDX-License-Identifier: Apache-2.0
#include "kiosk/capture/folder_source.h"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <system_error>

#include "vision/picture_file.h"

namespace lastlook::capture {
namespace fs = std::filesystem;
namespace {

tl::unexpected<Error> interrupted() {
  return fail(Category::refused, "interrupted");
}

// not_found: none, or the folder cannot be read.
Result<std::vector<std::string>> pictures_in(const fs::path& folder) {
  std::vector<std::string> names;
  std::error_code error;
  for (fs::directory_iterator at(folder, error), end; !error && at != end; at.increment(error)) {
    if (is_picture_name(at->path())) names.push_back(at->path().filename().string());
  }
  if (error)
    return fail(Category::not_found,
                fmt::format("{}: cannot be read, {}", folder.string(), error.message()));
  if (names.empty())
    return fail(Category::not_found,
                fmt::format("{}: expected a picture or a folder with pictures", folder.string()));
  std::ranges::sort(names);
  return names;
}

}  // namespace

bool is_picture_name(const fs::path& path) {
  constexpr std::array<std::string_view, 6> endings{".jpg", ".jpeg", ".png",
                                                    ".bmp", ".tif",  ".tiff"};
  std::string ending = path.extension().string();
  std::ranges::transform(ending, ending.begin(), [](unsigned char c) { return std::tolower(c); });
  return std::ranges::find(endings, ending) != endings.end();
}

FolderSource::FolderSource(fs::path path, std::chrono::milliseconds each_for)
    : each_for_(each_for), folder_(std::move(path)) {
  std::error_code error;
  if (is_picture_name(folder_) && !fs::is_directory(folder_, error)) {
    names_ = {folder_.filename().string()};
    folder_ = folder_.parent_path();
  } else {
    names_ = pictures_in(folder_).value_or(std::vector<std::string>{});  // open() says why
  }
}

void FolderSource::next() {
  const std::lock_guard lock(mutex_);
  if (names_.empty()) return;
  shown_ = (shown_ + 1) % names_.size();
  fresh_ = true;
  changed_.notify_all();
}

Status FolderSource::show(std::string_view name) {
  const std::lock_guard lock(mutex_);
  const auto found = std::ranges::find(names_, name);
  if (found == names_.end()) {
    return fail(Category::not_found,
                fmt::format("{}: there is no picture {} in it", folder_.string(), name));
  }
  shown_ = static_cast<std::size_t>(found - names_.begin());
  fresh_ = true;
  changed_.notify_all();
  return {};
}

std::vector<std::string> FolderSource::names() const {
  const std::lock_guard lock(mutex_);
  return names_;
}

Result<Opened> FolderSource::open() {
  const std::lock_guard lock(mutex_);
  if (interrupted_) return interrupted();
  // It may have been filled, or its disk plugged in, since the last try.
  if (names_.empty()) {
    auto names = pictures_in(folder_);
    if (!names) return tl::unexpected(names.error());
    names_ = std::move(*names);
  }
  fresh_ = true;
  return Opened{};
}

Result<Picture> FolderSource::take() {
  std::unique_lock lock(mutex_);
  const auto ready = [this] { return fresh_ || interrupted_; };
  if (each_for_.count() == 0) {
    changed_.wait(lock, ready);
  } else if (!changed_.wait_for(lock, each_for_, ready)) {
    shown_ = (shown_ + 1) % names_.size();
  }
  if (interrupted_) return interrupted();
  fresh_ = false;
  const std::string name = names_[shown_];
  lock.unlock();
  auto pixels = vision::read_picture(folder_ / name);
  // A disk that does not answer is gone, as a camera that was unplugged is.
  if (!pixels && pixels.error().category == Category::io)
    return fail(Category::not_found, pixels.error().message);
  if (!pixels) return tl::unexpected(pixels.error());
  return Picture{*pixels, name};
}

void FolderSource::close() {}

void FolderSource::interrupt() {
  const std::lock_guard lock(mutex_);
  interrupted_ = true;
  changed_.notify_all();
}

}  // namespace lastlook::capture
