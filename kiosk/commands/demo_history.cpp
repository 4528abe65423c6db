// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/demo_history.h"

#include <algorithm>
#include <chrono>
#include <future>

#include "kiosk/commands/demo_station_weeks.h"
#include "kiosk/domain/calendar.h"

namespace lastlook::commands {
namespace {

constexpr std::int64_t minute_us = 60'000'000;
constexpr std::int64_t day_us = 24 * 60 * minute_us;
constexpr int days_of_history = 20;

bool is_working_day(std::int64_t day) {
  const std::chrono::weekday weekday{std::chrono::sys_days{std::chrono::days{day}}};
  return weekday != std::chrono::Saturday && weekday != std::chrono::Sunday;
}

// Days since 1970-01-01 of the production day that `now` belongs to.
std::int64_t production_day(const domain::Master& master, const domain::Reading& now) {
  const std::int64_t local_us = now.wall_us + now.offset_min * minute_us;
  const std::int64_t today = local_us / day_us;
  const std::string date = domain::iso_date(domain::local_time(now.wall_us, now.offset_min));
  return domain::shift_of(master, now).production_date == date ? today : today - 1;
}

Status write_station(const std::filesystem::path& folder, int index, const PlantDocument& plant,
                     const Weeks& weeks, std::uint64_t seed, std::atomic<int>& looks) {
  const std::int64_t start = weeks.first_midnight_us + weeks.working_days.front() * day_us;
  ScriptedClock clock(start + 5 * 60 * minute_us, weeks.offset_min);
  const auto records = create_station(folder, index == 0 ? "LL-1" : "LL-2", plant, clock);
  if (!records) return tl::unexpected(records.error());
  // One transaction for the whole: if it is ended before it is done, it is made again.
  return (*records)
      ->begin_bulk()
      .and_then([&] { return StationWeeks(index, **records, clock, weeks, seed, looks).run(); })
      .and_then([&] { return (*records)->end_bulk(); });
}

}  // namespace

std::int64_t Weeks::end_us() const {
  return first_midnight_us + working_days.back() * day_us + 23 * 60 * minute_us;
}

Weeks weeks_before(const domain::Master& master, const domain::Reading& now) {
  Weeks weeks;
  weeks.offset_min = now.offset_min;
  weeks.first_midnight_us = -now.offset_min * minute_us;
  std::int64_t day = production_day(master, now);
  while (weeks.working_days.size() < days_of_history)
    if (is_working_day(--day)) weeks.working_days.push_back(day);
  std::reverse(weeks.working_days.begin(), weeks.working_days.end());
  return weeks;
}

int expected_looks(const Weeks& weeks) {
  return static_cast<int>(weeks.working_days.size()) * 2 * (130 + 64) * 108 / 100;
}

Status write_history(const std::filesystem::path& plant_folder, const PlantDocument& plant,
                     const Weeks& weeks, std::uint64_t seed, std::atomic<int>& looks) {
  auto second = std::async(std::launch::async, [&] {
    return write_station(folder_of_ll2(plant_folder), 1, plant, weeks, seed, looks);
  });
  const Status first = write_station(plant_folder, 0, plant, weeks, seed, looks);
  const Status other = second.get();
  return first ? other : first;
}

}  // namespace lastlook::commands
