// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/pacer.h"

#include <algorithm>

namespace lastlook::app {

void Pacer::preview(Time now) {
  if (preview_due_) return;
  preview_due_ = true;
  wake_at(std::max(now, last_preview_ + preview_pause));
}

void Pacer::wake_at(Time at) {
  wake_ = std::min(wake_, at);
}

bool Pacer::draws_now(Time now) const {
  return frames_left_ > 0 || now >= wake_;
}

Pacer::Time Pacer::wait(Time now) const {
  if (draws_now(now)) return Time{0};
  return std::min(longest_wait, wake_ - now);
}

void Pacer::drawn(Time now) {
  if (frames_left_ > 0) --frames_left_;
  if (now < wake_) return;
  wake_ = Time::max();
  if (preview_due_) last_preview_ = now;
  preview_due_ = false;
}

}  // namespace lastlook::app
