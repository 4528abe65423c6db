// SPDX-License-Identifier: Apache-2.0
// Time, as a station can know it. Order is the journal's sequence; wall time is kept as read.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace lastlook::domain {

struct Reading {
  std::int64_t wall_us = 0;  // microseconds since 1970-01-01 UTC, as the system clock says
  std::int64_t mono_us = 0;  // microseconds of a clock that only goes forward, since boot
  std::string boot;          // which boot mono_us belongs to
  int offset_min = 0;        // local time minus UTC, minutes, at that moment
};

class Clock {
 public:
  virtual ~Clock() = default;
  virtual Reading read() = 0;  // from any thread
};

class SystemClock final : public Clock {
 public:
  Reading read() override;
};

// A local calendar day and time of day.
struct LocalTime {
  int year = 1970, month = 1, day = 1;
  int minute_of_day = 0;
  int second = 0;
};

LocalTime local_time(std::int64_t wall_us, int offset_min);
std::string iso_date(const LocalTime& time);    // "2026-11-25"
std::string file_time(const Reading& reading);  // "2026-11-25T06-12-03", local; sorts by time
std::string iso_time(std::int64_t wall_us, int offset_min);  // "2026-11-25T06:12:03+01:00"
// The moment in microseconds, of a time as iso_time() writes it, or with Z; fractions of a second
// are read. nullopt: it is none, or has no offset and so could be any.
std::optional<std::int64_t> moment_of(std::string_view iso_time);

}  // namespace lastlook::domain
