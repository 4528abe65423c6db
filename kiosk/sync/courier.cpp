// SPDX-License-Identifier: Apache-2.0
#include "kiosk/sync/courier.h"

#include <utility>

#include "kiosk/records/records.h"
#include "kiosk/sync/back_off.h"
#include "kiosk/sync/send.h"
#include "kiosk/sync/sent_note.h"

namespace lastlook::sync {
namespace {

// Looks that closed after what the store is known to have.
Result<std::int64_t> looks_after(records::Records& station, const SentNote& note) {
  const std::int64_t from = note.journal == station.journal() ? note.seq + 1 : 1;
  std::int64_t looks = 0;
  const Status read =
      station.store().entries(station.journal(), from, [&](const records::Entry& entry) {
        looks += entry.kind == domain::kind_of(domain::LookClosed{});
        return true;
      });
  if (!read) return tl::unexpected(read.error());
  return looks;
}

}  // namespace

Courier::Courier(std::filesystem::path folder, Open open, domain::Clock& clock, Changed changed,
                 std::chrono::milliseconds rest, Wait wait)
    : folder_(std::move(folder)),
      open_(std::move(open)),
      clock_(clock),
      changed_(std::move(changed)),
      rest_(rest),
      wait_(wait ? std::move(wait) : wait_after),
      thread_([this](std::stop_token stop) { run(stop); }) {}

Courier::~Courier() {
  thread_.request_stop();
  wake_.notify_all();
}

CourierStatus Courier::status() const {
  const std::scoped_lock lock(mutex_);
  return status_;
}

void Courier::try_now() {
  {
    const std::scoped_lock lock(mutex_);
    asked_ = true;
  }
  wake_.notify_all();
}

void Courier::note(CourierStatus status) {
  {
    const std::scoped_lock lock(mutex_);
    if (status == status_) return;
    status_ = status;
  }
  if (changed_) changed_(status);
}

void Courier::run(std::stop_token stop) {
  int failures = 0;
  while (!stop.stop_requested()) {
    try_once();
    failures = status().trouble.empty() ? 0 : failures + 1;
    const double chance = std::uniform_real_distribution<>(0, 1)(chance_);
    const auto pause = failures == 0 ? rest_ : wait_(failures, chance);
    std::unique_lock lock(mutex_);
    wake_.wait_for(lock, stop, pause, [this] { return asked_; });
    asked_ = false;
  }
}

void Courier::try_once() {
  const SentNote before = read_note(folder_);
  CourierStatus now{0, before.when_us, before.offset_min, ""};
  const auto station = records::Records::open_to_read(folder_);
  if (!station) {
    now.trouble = station.error().message;
    return note(std::move(now));
  }
  const auto fail_with = [&](const Error& error) {
    now.trouble = error.message;
    // Counted anew: some batches may have gone, and the note says what is known.
    if (const auto looks = looks_after(**station, before)) now.looks_waiting = *looks;
    note(std::move(now));
  };
  const auto plant = open_();
  if (!plant) return fail_with(plant.error());
  const auto sent = send((*station)->store(), **plant);
  if (!sent) return fail_with(sent.error());
  const domain::Reading reading = clock_.read();
  now.last_sent_us = reading.wall_us;
  now.last_sent_offset_min = reading.offset_min;
  if (Status noted = write_note(
          folder_, {sent->journals.back().journal, sent->journals.back().acknowledged.seq,
                    reading.wall_us, reading.offset_min});
      !noted)
    now.trouble = noted.error().message;
  note(std::move(now));
}

}  // namespace lastlook::sync
