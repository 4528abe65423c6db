// SPDX-License-Identifier: Apache-2.0
// Doubles for what stands outside: a clock that goes when told, a source that does as it is told.
#pragma once

#include <atomic>
#include <condition_variable>
#include <deque>
#include <functional>
#include <mutex>

#include "kiosk/capture/source.h"
#include "kiosk/domain/clock.h"

namespace lastlook::capture::testing {

class FakeClock final : public domain::Clock {
 public:
  domain::Reading read() override { return {.mono_us = us_.load(), .boot = "test"}; }
  void forward(std::chrono::milliseconds by) { us_ += by.count() * 1000; }

 private:
  std::atomic<std::int64_t> us_{1'000'000};
};

// A small picture of one grey, different for each number.
inline Picture picture_of(int number, cv::Size size = {32, 24}) {
  return {cv::Mat(size, CV_8UC3, cv::Scalar::all(number)), "picture-" + std::to_string(number)};
}

// Gives what the test has queued, in order, and blocks while there is nothing. Records its calls.
class FakeSource final : public Source {
 public:
  // To be set before the camera starts.
  bool live = true;
  cv::Size wanted_px{};
  bool ignores_interrupt = false;  // as a read that hangs in a driver

  void queue(Result<Picture> picture) {
    const std::lock_guard lock(mutex_);
    pictures_.push_back(std::move(picture));
    changed_.notify_all();
  }
  void queue_opening(Error error) {
    const std::lock_guard lock(mutex_);
    failing_openings_.push_back(std::move(error));
  }
  void release() {  // a hanging read returns
    const std::lock_guard lock(mutex_);
    released_ = true;
    changed_.notify_all();
  }
  void wait_until_closed() {
    std::unique_lock lock(mutex_);
    changed_.wait(lock, [this] { return closed_; });
  }
  int openings() const {
    const std::lock_guard lock(mutex_);
    return openings_;
  }

  Result<Opened> open() override {
    const std::lock_guard lock(mutex_);
    ++openings_;
    if (!failing_openings_.empty()) {
      Error error = failing_openings_.front();
      failing_openings_.pop_front();
      return tl::unexpected(error);
    }
    closed_ = false;
    return Opened{.live = live, .wanted_px = wanted_px};
  }
  Result<Picture> take() override {
    std::unique_lock lock(mutex_);
    changed_.wait(lock, [this] {
      return released_ || (!ignores_interrupt && interrupted_) || !pictures_.empty();
    });
    if (pictures_.empty()) return fail(Category::refused, "interrupted");
    auto picture = std::move(pictures_.front());
    pictures_.pop_front();
    return picture;
  }
  void close() override {
    const std::lock_guard lock(mutex_);
    closed_ = true;
    changed_.notify_all();
  }
  void interrupt() override {
    const std::lock_guard lock(mutex_);
    interrupted_ = true;
    changed_.notify_all();
  }

 private:
  mutable std::mutex mutex_;
  std::condition_variable changed_;
  std::deque<Result<Picture>> pictures_;
  std::deque<Error> failing_openings_;
  int openings_ = 0;
  bool closed_ = false, interrupted_ = false, released_ = false;
};

// Lets a test wait for what another thread brings about. The limit only ends a broken test.
class Signal {
 public:
  void raise() {
    const std::lock_guard lock(mutex_);
    changed_.notify_all();
  }
  bool wait_until(const std::function<bool()>& holds) {
    std::unique_lock lock(mutex_);
    const auto limit = std::chrono::steady_clock::now() + std::chrono::seconds(20);
    while (!holds()) {
      // Short steps, since what holds() reads may change without a raise().
      if (std::chrono::steady_clock::now() > limit) return false;
      changed_.wait_for(lock, std::chrono::milliseconds(5));
    }
    return true;
  }

 private:
  std::mutex mutex_;
  std::condition_variable changed_;
};

}  // namespace lastlook::capture::testing
