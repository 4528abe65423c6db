// SPDX-License-Identifier: Apache-2.0
// All that the kiosk opens before its first frame, without the window.
#pragma once

#include "kiosk/app/desk.h"
#include "tests/kiosk/records/station.h"
#include "tests/places.h"

namespace lastlook::app::testing {

inline const text::Languages& languages() {
  static const auto all =
      records::testing::must(text::Languages::load(source_dir() + "/assets/strings", "en"));
  return all;
}

struct KioskStart {
  KioskStart(const std::filesystem::path& folder, domain::Clock& clock)
      : records(records::testing::must(records::Records::open(folder, records::Check::beside))),
        people(records::testing::must(records::People::open(folder))),
        station(records::testing::must(flows::Station::open(*records, clock))),
        desk({*station, *people, clock, languages(), main, tasks, false}) {}

  std::unique_ptr<records::Records> records;
  std::unique_ptr<records::People> people;
  std::unique_ptr<flows::Station> station;
  MainQueue main{[] {}};
  TaskThread tasks;
  Desk desk;
};

}  // namespace lastlook::app::testing
