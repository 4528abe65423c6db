// SPDX-License-Identifier: Apache-2.0
// The weeks of one station: shifts, units as they come, and what becomes of those that do not leave
// at once: reworked and back, parked until a result comes, held until somebody has sorted it out,
// held back for a second look by another person, back from the customer because a fault slipped
// through.
#pragma once

#include <atomic>
#include <string>
#include <vector>

#include "kiosk/commands/demo_history.h"

namespace lastlook::commands {

class StationWeeks {
 public:
  // index 0: LL-1, 1: LL-2.
  StationWeeks(int index, records::Records& records, ScriptedClock& clock, const Weeks& weeks,
               std::uint64_t seed, std::atomic<int>& looks);

  Status run();

 private:
  struct Later {  // a unit that comes again
    std::int64_t due_us = 0;
    LineUnit unit;
    std::string parked_look;                   // empty: it comes as a return
    std::vector<domain::UpstreamTest> tested;  // results that come with it
  };
  struct Held {
    std::string look;
    LineUnit unit;
    bool looks_differ = false;  // accepted, and rejected at the second look
  };
  struct HeldBack {  // for a second look by another person
    LineUnit unit;
    LookEnd first;
    std::vector<std::string> people;  // who had a hand in it
  };
  struct Shift {
    int day = 0;
    bool late = false;
    std::int64_t start_us = 0;
    int units = 0;
  };

  Status run_shift(const Shift& shift);
  Status sort_out_held();
  Status sort_out(const Held& held);
  Status come_again();
  Status look_at(const LineUnit& unit);
  Status look_a_second_time();
  Status remember(const LineUnit& unit, const LookEnd& end);
  void let_go(const LineUnit& unit, const LookEnd& end);
  Status append_build_records(const std::vector<LineUnit>& units);
  Status append_results(const LineUnit& unit, const std::vector<domain::UpstreamTest>& tests);
  Status append(const std::vector<domain::Happening>& happenings);
  std::vector<domain::UpstreamTest> voided_by(const std::vector<Fault>& found) const;
  domain::UpstreamResult passed(domain::UpstreamTest test);
  std::string lot_of(const char* mark, int days);

  int index_;
  records::Records& records_;
  ScriptedClock& clock_;
  const Weeks& weeks_;
  std::atomic<int>& looks_;
  Chance chance_;
  Chance draws_;
  Line line_;
  std::unique_ptr<flows::Station> station_;
  std::unique_ptr<ScriptedInspector> hands_;
  std::vector<Later> later_;
  std::vector<Held> held_;
  std::vector<HeldBack> held_back_;
};

}  // namespace lastlook::commands
