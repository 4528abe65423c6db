// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/heartbeat.h"

#include <systemd/sd-daemon.h>

#include <algorithm>
#include <cstdint>

namespace lastlook::app {

Heartbeat::Heartbeat() {
  std::uint64_t period_us = 0;
  if (sd_watchdog_enabled(0, &period_us) <= 0) return;
  const auto half = std::chrono::microseconds(period_us / 2);
  every_ = std::max(Time{1}, std::chrono::duration_cast<Time>(half));
}

Heartbeat::~Heartbeat() {
  if (ready_) sd_notify(0, "STOPPING=1");
}

void Heartbeat::ready() {
  if (ready_) return;
  ready_ = true;
  sd_notify(0, "READY=1");
}

void Heartbeat::beat(Time now) {
  if (every_ == Time{0} || now < next_) return;
  sd_notify(0, "WATCHDOG=1");
  next_ = now + every_;
}

Heartbeat::Time Heartbeat::rests_for(Time now) const {
  if (every_ == Time{0}) return Time::max();
  return std::max(Time{0}, next_ - now);
}

}  // namespace lastlook::app
