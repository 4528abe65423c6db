// SPDX-License-Identifier: Apache-2.0
#include "kiosk/capture/watchdog.h"

#include <algorithm>
#include <bit>
#include <cstring>

namespace lastlook::capture {
namespace {

using std::chrono::duration_cast;
using std::chrono::microseconds;
using std::chrono::milliseconds;

milliseconds ms_of(std::int64_t us) {
  return duration_cast<milliseconds>(microseconds(us));
}
std::int64_t us_of(milliseconds ms) {
  return duration_cast<microseconds>(ms).count();
}

bool waits_to_open(CameraState state) {
  return state == CameraState::gone || state == CameraState::refused;
}

}  // namespace

BackOff::BackOff(milliseconds first, milliseconds longest, std::uint64_t seed)
    : first_(first), longest_(longest), whole_(first), random_(seed) {}

milliseconds BackOff::next() {
  const milliseconds whole = std::min(whole_, longest_);
  whole_ = std::min(whole_ * 2, longest_);
  std::uniform_int_distribution<milliseconds::rep> less(0, whole.count() / 2);
  return whole - milliseconds(less(random_));
}

void BackOff::reset() {
  whole_ = first_;
}

// FNV-1a over words of eight bytes, their upper half folded in.
std::uint64_t fingerprint(const cv::Mat& picture) {
  std::uint64_t hash = 0xcbf29ce484222325ULL;
  const auto mix = [&hash](std::uint64_t word) {
    hash = (hash ^ word) * 0x100000001b3ULL;
    hash ^= hash >> 32;
  };
  const std::size_t row_bytes = static_cast<std::size_t>(picture.cols) * picture.elemSize();
  for (int y = 0; y < picture.rows; y += 8) {
    const unsigned char* row = picture.ptr(y);
    for (std::size_t at = 0; at < row_bytes; at += 8) {
      std::uint64_t word = 0;
      std::memcpy(&word, row + at, std::min<std::size_t>(8, row_bytes - at));
      mix(word);
    }
  }
  return hash;
}

Watchdog::Watchdog(const CameraOptions& options)
    : options_(options), back_off_(options.first_retry, options.longest_retry, options.seed) {}

void Watchdog::opened(const Opened& opened, std::int64_t now_us) {
  status_.opened = opened;
  status_.state = CameraState::starting;
  status_.equal_frames = 0;
  ++status_.openings;
  alive_us_ = now_us;
  failures_ = 0;
}

bool Watchdog::frame(cv::Size size, std::uint64_t print, std::int64_t now_us) {
  failures_ = 0;
  alive_us_ = now_us;
  status_.got_px = size;
  const cv::Size wanted = status_.opened.wanted_px;
  if (!wanted.empty() && size != wanted) {
    status_.state = CameraState::wrong_size;
    return false;
  }
  // Only a frame proves that it is back: one that opens and gives none must not be asked faster.
  back_off_.reset();
  ++status_.frames;
  frame_us_ = now_us;
  const bool equal = status_.frames > 1 && print == last_print_;
  last_print_ = print;
  status_.equal_frames = equal ? status_.equal_frames + 1 : 1;
  const bool frozen = status_.opened.live && status_.equal_frames >= options_.frozen_after;
  status_.state = frozen ? CameraState::frozen : CameraState::running;
  if (!frozen) status_.detail.clear();
  return true;
}

milliseconds Watchdog::failed_to_open(const Error& error, std::int64_t now_us) {
  const bool it_says_no = error.category == Category::refused || error.category == Category::busy;
  status_.state = it_says_no ? CameraState::refused : CameraState::gone;
  status_.detail = error.message;
  failures_ = 0;
  const milliseconds pause = back_off_.next();
  retry_at_us_ = now_us + us_of(pause);
  return pause;
}

bool Watchdog::failed_to_take(const Error& error, std::int64_t now_us) {
  status_.detail = error.message;
  if (error.category == Category::bad_input) ++status_.damaged;
  const bool worth_another =
      error.category == Category::io || error.category == Category::bad_input;
  if (worth_another && ++failures_ < options_.failures_before_reopen) return false;
  failed_to_open(error, now_us);
  return true;
}

CameraStatus Watchdog::status(std::int64_t now_us) const {
  CameraStatus status = status_;
  if (waits_to_open(status.state)) {
    status.retry_in = std::max(milliseconds(0), ms_of(retry_at_us_ - now_us));
  }
  if (status.frames > 0) status.frame_age = ms_of(now_us - frame_us_);
  const bool expects_frames =
      status.opened.live && status.openings > 0 && !waits_to_open(status.state);
  if (expects_frames && ms_of(now_us - alive_us_) > options_.stalled_after)
    status.state = CameraState::stalled;
  return status;
}

milliseconds Watchdog::status_holds_for(std::int64_t now_us) const {
  constexpr milliseconds once_a_second{1000};  // retry_in and frame_age are shown as seconds
  const CameraStatus now = status(now_us);
  if (now.state != CameraState::running && now.state != CameraState::starting) return once_a_second;
  if (!now.opened.live) return std::chrono::hours(1);
  const auto until = options_.stalled_after - ms_of(now_us - alive_us_) + milliseconds(1);
  return std::clamp<milliseconds>(until, milliseconds(1), options_.stalled_after);
}

}  // namespace lastlook::capture
