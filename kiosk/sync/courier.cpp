// SPDX-License-Identifier: Apache-2.0
#include "kiosk/sync/courier.h"

#include <utility>

#include "kiosk/sync/receive.h"
#include "kiosk/sync/send.h"
#include "kiosk/sync/send_pictures.h"
#include "kiosk/sync/sent_note.h"

namespace lastlook::sync {
namespace {

constexpr std::int64_t picture_bytes_a_try = 1 << 20;

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

Courier::Courier(Parts parts)
    : parts_(std::move(parts)), thread_([this](std::stop_token stop) { run(stop); }) {}

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
  if (parts_.changed) parts_.changed(status);
}

void Courier::run(std::stop_token stop) {
  int failures = 0;
  while (!stop.stop_requested()) {
    try_once();
    failures = status().trouble.empty() ? 0 : failures + 1;
    const double chance = std::uniform_real_distribution<>(0, 1)(chance_);
    const auto pause = failures == 0 ? parts_.rest : parts_.wait(failures, chance);
    std::unique_lock lock(mutex_);
    wake_.wait_for(lock, stop, pause, [this] { return asked_; });
    asked_ = false;
  }
}

void Courier::try_once() {
  const SentNote before = read_note(parts_.folder);
  CourierStatus now{0, before.when_us, before.offset_min, "", status().pictures_waiting};
  const auto station = records::Records::open_to_read(parts_.folder);
  const Status brought = station ? bring(**station, now) : tl::unexpected(station.error());
  if (!brought) {
    now.trouble = brought.error().message;
    // Counted anew: some batches may have gone, and the note says what is known.
    if (station)
      if (const auto looks = looks_after(**station, read_note(parts_.folder)))
        now.looks_waiting = *looks;
  }
  note(std::move(now));
}

// There and back.
Status Courier::bring(records::Records& station, CourierStatus& status) {
  const auto plant = parts_.open();
  if (!plant) return tl::unexpected(plant.error());
  const auto sent = send(station.store(), **plant);
  if (!sent) return tl::unexpected(sent.error());
  const domain::Reading reading = parts_.clock.read();
  status.last_sent_us = reading.wall_us;
  status.last_sent_offset_min = reading.offset_min;
  const SentJournal& last = sent->journals.back();
  if (Status noted = write_note(parts_.folder, {last.journal, last.acknowledged.seq,
                                                reading.wall_us, reading.offset_min});
      !noted)
    return noted;
  if (const auto rows = receive_results(parts_.folder, **plant); !rows)
    return tl::unexpected(rows.error());
  const auto newer = newer_master(**plant, station.master().revision);
  if (!newer) return tl::unexpected(newer.error());
  if (*newer && parts_.master) parts_.master(**newer);
  // Last and little at a time: nothing else waits for them.
  const auto pictures = send_pictures(station, **plant, picture_bytes_a_try);
  if (!pictures) return tl::unexpected(pictures.error());
  status.pictures_waiting = pictures->waiting;
  return {};
}

}  // namespace lastlook::sync
