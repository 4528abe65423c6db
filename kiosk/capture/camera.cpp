// SPDX-License-Identifier: Apache-2.0
#include "kiosk/capture/camera.h"

#include <condition_variable>
#include <mutex>
#include <thread>

#include "kiosk/capture/watchdog.h"

namespace lastlook::capture {

std::string_view to_word(CameraState state) {
  switch (state) {
    case CameraState::starting:
      return "starting";
    case CameraState::running:
      return "running";
    case CameraState::stalled:
      return "stalled";
    case CameraState::frozen:
      return "frozen";
    case CameraState::gone:
      return "gone";
    case CameraState::wrong_size:
      return "wrong_size";
    case CameraState::refused:
      return "refused";
  }
  return "";
}

// Shared by the camera and its thread, so that a detached thread touches nothing that is gone. The
// clock is not owned: it is read under the mutex and only while not stopping.
struct Camera::Inside {
  Inside(std::shared_ptr<Source> source_, domain::Clock& clock_, const CameraOptions& options_)
      : source(std::move(source_)), clock(clock_), options(options_), watchdog(options_) {}

  const std::shared_ptr<Source> source;
  domain::Clock& clock;
  const CameraOptions options;

  std::mutex mutex;  // of all below, down to the listener
  std::condition_variable changed;
  Watchdog watchdog;
  FramePtr newest;
  bool newest_seen = false;
  bool stopping = false;
  bool ended = false;

  std::mutex listener_mutex;  // held while the listener runs
  std::function<void()> listener;

  void run();
  void capture_until_stopped();
  bool open();
  bool take();
  void publish(Picture picture, std::uint64_t print, std::int64_t now_us);
  void announce();
};

void Camera::Inside::run() {
  capture_until_stopped();
  source->close();
  const std::lock_guard lock(mutex);
  ended = true;
  changed.notify_all();
}

void Camera::Inside::capture_until_stopped() {
  bool is_open = false;
  while (true) {
    is_open = is_open ? take() : open();
    std::unique_lock lock(mutex);
    if (stopping) return;
    lock.unlock();
    announce();
    if (is_open) continue;
    lock.lock();
    if (stopping) return;  // since; the clock may be gone
    const auto pause = watchdog.status(clock.read().mono_us).retry_in;
    if (changed.wait_for(lock, pause, [this] { return stopping; })) return;
  }
}

bool Camera::Inside::open() {
  const Result<Opened> opened = source->open();
  const std::lock_guard lock(mutex);
  if (stopping) return false;
  const std::int64_t now_us = clock.read().mono_us;
  if (opened) {
    watchdog.opened(*opened, now_us);
  } else {
    watchdog.failed_to_open(opened.error(), now_us);
  }
  return opened.has_value();
}

// Whether the source is still open.
bool Camera::Inside::take() {
  Result<Picture> picture = source->take();
  const std::uint64_t print = picture ? fingerprint(picture->pixels) : 0;
  std::unique_lock lock(mutex);
  if (stopping) return true;
  const std::int64_t now_us = clock.read().mono_us;
  if (!picture) {
    if (!watchdog.failed_to_take(picture.error(), now_us)) return true;
    lock.unlock();
    source->close();
    return false;
  }
  publish(std::move(*picture), print, now_us);
  return true;
}

void Camera::Inside::publish(Picture picture, std::uint64_t print, std::int64_t now_us) {
  if (!watchdog.frame(picture.pixels.size(), print, now_us)) return;
  if (newest && !newest_seen) watchdog.replaced_unseen();
  newest = std::make_shared<const Frame>(Frame{watchdog.status(now_us).frames, now_us,
                                               std::move(picture.pixels), std::move(picture.name)});
  newest_seen = false;
}

void Camera::Inside::announce() {
  const std::lock_guard lock(listener_mutex);
  if (listener) listener();
}

Camera::Camera(std::shared_ptr<Source> source, domain::Clock& clock, CameraOptions options)
    : inside_(std::make_shared<Inside>(std::move(source), clock, options)),
      thread_([inside = inside_] { inside->run(); }) {}

Camera::~Camera() {
  listen({});
  inside_->source->interrupt();
  std::unique_lock lock(inside_->mutex);
  inside_->stopping = true;
  inside_->changed.notify_all();
  const bool ended = inside_->changed.wait_for(lock, inside_->options.longest_stop,
                                               [this] { return inside_->ended; });
  lock.unlock();
  if (ended) {
    thread_.join();
  } else {
    thread_.detach();
  }
}

void Camera::listen(std::function<void()> listener) {
  const std::lock_guard lock(inside_->listener_mutex);
  inside_->listener = std::move(listener);
}

FramePtr Camera::latest() const {
  const std::lock_guard lock(inside_->mutex);
  inside_->newest_seen = true;
  return inside_->newest;
}

CameraStatus Camera::status() const {
  const std::lock_guard lock(inside_->mutex);
  return inside_->watchdog.status(inside_->clock.read().mono_us);
}

std::chrono::milliseconds Camera::status_holds_for() const {
  const std::lock_guard lock(inside_->mutex);
  return inside_->watchdog.status_holds_for(inside_->clock.read().mono_us);
}

}  // namespace lastlook::capture
