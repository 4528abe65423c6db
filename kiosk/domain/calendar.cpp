// SPDX-License-Identifier: Apache-2.0
#include "kiosk/domain/calendar.h"

#include <algorithm>
#include <chrono>

namespace lastlook::domain {
namespace {

constexpr std::int64_t day_us = 24LL * 60 * 60 * 1'000'000;

int start_of_production_day(const Master& master) {
  for (const Shift& shift : master.shifts)
    if (shift.id == master.day_starts_with) return shift.start_min;
  return master.shifts.empty() ? 0 : master.shifts.front().start_min;
}

// The shift running at this minute: the last one that started, the last of the day before the
// first.
const Shift* running_at(const Master& master, int minute) {
  if (master.shifts.empty()) return nullptr;
  const Shift* running = &master.shifts.back();
  for (const Shift& shift : master.shifts)
    if (shift.start_min <= minute) running = &shift;
  return running;
}

}  // namespace

ShiftOfDay shift_of(const Master& master, const Reading& reading) {
  const LocalTime now = local_time(reading.wall_us, reading.offset_min);
  ShiftOfDay result;
  result.quarter = now.minute_of_day / 15;
  const bool still_yesterday = now.minute_of_day < start_of_production_day(master);
  result.production_date =
      iso_date(local_time(reading.wall_us - (still_yesterday ? day_us : 0), reading.offset_min));
  if (const Shift* shift = running_at(master, now.minute_of_day)) result.shift = shift->id;
  return result;
}

bool is_date(std::string_view text) {
  constexpr std::string_view form = "dddd-dd-dd";
  const bool formed = text.size() == form.size() &&
                      std::equal(text.begin(), text.end(), form.begin(), [](char c, char f) {
                        return f == 'd' ? c >= '0' && c <= '9' : c == f;
                      });
  if (!formed) return false;
  const auto part = [&](std::size_t at, std::size_t length) {
    return std::stoi(std::string(text.substr(at, length)));
  };
  using namespace std::chrono;
  return year_month_day(year(part(0, 4)), month(static_cast<unsigned>(part(5, 2))),
                        day(static_cast<unsigned>(part(8, 2))))
      .ok();
}

std::optional<std::int64_t> end_of_day(const std::string& date, int offset_min) {
  if (!is_date(date)) return std::nullopt;
  const auto midnight_utc = moment_of(date + "T00:00:00Z");
  if (!midnight_utc) return std::nullopt;
  return *midnight_utc - std::int64_t{offset_min} * 60'000'000 + day_us;
}

std::string day_after(std::int64_t us, int offset_min, int days) {
  return iso_date(local_time(us + days * day_us, offset_min));
}

}  // namespace lastlook::domain
