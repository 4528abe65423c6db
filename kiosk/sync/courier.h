// SPDX-License-Identifier: Apache-2.0
// Sends in the background while people inspect, and brings back what the plant has for the station:
// the line never waits for it.
#pragma once

#include <chrono>
#include <condition_variable>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <mutex>
#include <random>
#include <string>
#include <thread>

#include "analytics/result.h"
#include "kiosk/domain/clock.h"
#include "kiosk/domain/happening.h"
#include "kiosk/records/records.h"
#include "kiosk/sync/back_off.h"
#include "kiosk/sync/plant_store.h"

namespace lastlook::sync {

// How sending goes, for a person.
struct CourierStatus {
  std::int64_t looks_waiting = 0;  // closed here, not known to be in the store
  std::int64_t last_sent_us = 0;   // wall time at which the store last had everything; 0: never
  int last_sent_offset_min = 0;
  std::string trouble;                // why the last try failed, in one sentence; empty: it did not
  std::int64_t pictures_waiting = 0;  // when the store was last reached
  bool operator==(const CourierStatus&) const = default;
};

class Courier {
 public:
  struct Parts {
    // Read as any reader does. What the store acknowledged last is kept in FOLDER/sent.json, so
    // that a station that starts without a network knows what waits; it is a note, not the truth.
    std::filesystem::path folder;
    // The store is open during a try only: a stick may be pulled out between two, and a server need
    // not hold a connection for each station.
    std::function<Result<std::unique_ptr<PlantStore>>()> open;
    domain::Clock& clock;
    // From the courier's own thread: whenever the status is another, and after each try for as long
    // as the plant has newer master data than the station.
    std::function<void(const CourierStatus& status)> changed = {};
    std::function<void(const domain::MasterAdopted& newer)> master = {};
    // Passes between two tries that went well.
    std::chrono::milliseconds rest = std::chrono::seconds(20);
    // Passes after those that failed; `chance` is 0 to 1.
    std::function<std::chrono::milliseconds(int failures, double chance)> wait = wait_after;
  };
  explicit Courier(Parts parts);
  ~Courier();  // ends the try that is under way, which the store's deadlines bound

  CourierStatus status() const;
  void try_now();  // for someone who asks

 private:
  void run(std::stop_token stop);
  void try_once();
  Status bring(records::Records& station, CourierStatus& status);
  void note(CourierStatus status);

  Parts parts_;
  mutable std::mutex mutex_;
  std::condition_variable_any wake_;
  CourierStatus status_;
  bool asked_ = false;
  std::mt19937 chance_{std::random_device{}()};
  std::jthread thread_;  // last: it uses all of the above
};

}  // namespace lastlook::sync
