// SPDX-License-Identifier: Apache-2.0
// The machine's clock: shifts and production dates are what it says.
#include <fmt/format.h>
#include <sys/timex.h>
#include <time.h>

#include <string_view>

#include "kiosk/commands/checkup.h"

namespace lastlook::commands {
namespace {

// The kernel's word: whoever sets the clock by a time server tells it so.
bool is_synchronised() {
  timex asks_only{};
  return ntp_adjtime(&asks_only) != TIME_ERROR;
}

// The last moment that any journal here knows of, and how long it is ahead.
std::int64_t ahead_of_clock_us(const Patient& patient) {
  if (!patient.records) return 0;
  const auto last = patient.records->store().last_entry(patient.records->journal());
  if (!last || !*last) return 0;
  const auto stamp = records::read_stamp((*last)->stamp);
  // Read after the entry: a kiosk that writes meanwhile must not seem to come from the future.
  return stamp ? stamp->reading.wall_us - domain::SystemClock().read().wall_us : 0;
}

}  // namespace

Check check_clock(const Patient& patient) {
  const char* what = "clock";
  const std::string now = domain::iso_time(patient.now.wall_us, patient.now.offset_min);
  constexpr std::int64_t unremarked_us = 5'000'000;  // as between two entries
  if (const std::int64_t ahead = ahead_of_clock_us(patient); ahead > unremarked_us)
    return broken(
        what,
        fmt::format("says {}, {} before the last entry: it was set back, or the entry was "
                    "made while it was ahead",
                    now, for_a_time(ahead)),
        "set it right with 'timedatectl set-time'");
  if (!is_synchronised())
    return look_at(what, fmt::format("says {}, and no time server keeps it right", now),
                   "ask for a time server, or compare it with a clock that is right");
  return well(what, fmt::format("says {}, kept right by a time server", now));
}

Check check_time_zone() {
  const char* what = "time zone";
  const time_t now = time(nullptr);
  tm local{};
  localtime_r(&now, &local);
  // No place calls its own time so: it is what a machine has before anybody has told it where it
  // is.
  if (local.tm_zone == std::string_view("UTC"))
    return look_at(what,
                   "UTC, so that shifts and days begin by that and not by the clock on the wall",
                   "run 'timedatectl set-timezone AREA/CITY'");
  return well(what, fmt::format("{}, {:+} minutes from UTC", local.tm_zone, local.tm_gmtoff / 60));
}

}  // namespace lastlook::commands
