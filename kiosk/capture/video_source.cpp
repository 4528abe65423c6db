// SPDX-License-Identifier: Apache-2.0
#include "kiosk/capture/video_source.h"

#include <fmt/core.h>

#include "kiosk/capture/pixels.h"

namespace lastlook::capture {

using std::chrono::steady_clock;

VideoSource::VideoSource(std::filesystem::path path) : path_(std::move(path)) {}

Result<Opened> VideoSource::open() {
  std::error_code error;
  if (!std::filesystem::exists(path_, error)) {
    return fail(Category::not_found, fmt::format("{}: no such file", path_.string()));
  }
  bool is_open = false;
  try {
    is_open = file_.open(path_.string(), cv::CAP_FFMPEG);
  } catch (const cv::Exception&) {
    is_open = false;  // the sentence below says so
  }
  if (!is_open) {
    return fail(Category::refused, fmt::format("{}: not a video that can be read", path_.string()));
  }
  const double rate = file_.get(cv::CAP_PROP_FPS);
  const double usual_rate = 25;
  pace_ = std::chrono::duration_cast<steady_clock::duration>(
      std::chrono::duration<double>(1 / (rate > 0 ? rate : usual_rate)));
  due_ = steady_clock::now();
  return Opened{};
}

Result<Picture> VideoSource::take() {
  if (!wait_until(due_)) return fail(Category::refused, "interrupted");
  due_ += pace_;
  cv::Mat frame;
  try {
    file_.read(frame);
  } catch (const cv::Exception& exception) {
    return fail(Category::bad_input, fmt::format("{}: {}", path_.string(), exception.err));
  }
  if (frame.empty()) {
    wait_until(steady_clock::time_point::max());
    return fail(Category::refused, "interrupted");
  }
  auto bgr = to_bgr(frame, 0);
  if (!bgr) return tl::unexpected(bgr.error());
  return Picture{std::move(*bgr), {}};
}

bool VideoSource::wait_until(steady_clock::time_point due) {
  std::unique_lock lock(mutex_);
  const auto interrupted = [this] { return interrupted_; };
  if (due == steady_clock::time_point::max()) {
    changed_.wait(lock, interrupted);
  } else {
    changed_.wait_until(lock, due, interrupted);
  }
  return !interrupted_;
}

void VideoSource::close() {
  file_.release();
}

void VideoSource::interrupt() {
  const std::lock_guard lock(mutex_);
  interrupted_ = true;
  changed_.notify_all();
}

}  // namespace lastlook::capture
