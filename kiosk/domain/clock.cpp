// SPDX-License-Identifier: Apache-2.0
#include "kiosk/domain/clock.h"

#include <fmt/format.h>
#include <time.h>
#include <algorithm>

#include <chrono>
#include <fstream>

namespace lastlook::domain {
namespace {

std::string read_boot_id() {
  std::ifstream file("/proc/sys/kernel/random/boot_id");
  std::string id;
  return std::getline(file, id) ? id : "unknown";
}

std::int64_t microseconds_of(clockid_t clock) {
  timespec now{};
  clock_gettime(clock, &now);
  return std::int64_t{now.tv_sec} * 1'000'000 + now.tv_nsec / 1'000;
}

int local_offset_min(std::int64_t wall_us) {
  const time_t seconds = static_cast<time_t>(wall_us / 1'000'000);
  tm local{};
  localtime_r(&seconds, &local);
  return static_cast<int>(local.tm_gmtoff / 60);
}

}  // namespace

Reading SystemClock::read() {
  static const std::string boot = read_boot_id();
  Reading reading;
  reading.wall_us = microseconds_of(CLOCK_REALTIME);
  reading.mono_us = microseconds_of(CLOCK_BOOTTIME);
  reading.boot = boot;
  reading.offset_min = local_offset_min(reading.wall_us);
  return reading;
}

LocalTime local_time(std::int64_t wall_us, int offset_min) {
  using namespace std::chrono;
  const sys_time<microseconds> moment{microseconds{wall_us} + minutes{offset_min}};
  const auto day = floor<days>(moment);
  const year_month_day date{day};
  const auto of_day = duration_cast<seconds>(moment - day).count();
  return {static_cast<int>(date.year()), static_cast<int>(static_cast<unsigned>(date.month())),
          static_cast<int>(static_cast<unsigned>(date.day())), static_cast<int>(of_day / 60),
          static_cast<int>(of_day % 60)};
}

std::string iso_date(const LocalTime& time) {
  return fmt::format("{:04}-{:02}-{:02}", time.year, time.month, time.day);
}

std::string file_time(const Reading& reading) {
  std::string name = iso_time(reading.wall_us, reading.offset_min).substr(0, 19);
  std::ranges::replace(name, ':', '-');
  return name;
}

std::string iso_time(std::int64_t wall_us, int offset_min) {
  const LocalTime time = local_time(wall_us, offset_min);
  const int size = offset_min < 0 ? -offset_min : offset_min;
  return fmt::format("{}T{:02}:{:02}:{:02}{}{:02}:{:02}", iso_date(time), time.minute_of_day / 60,
                     time.minute_of_day % 60, time.second, offset_min < 0 ? '-' : '+', size / 60,
                     size % 60);
}

}  // namespace lastlook::domain
