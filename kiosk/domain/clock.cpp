// SPDX-License-Identifier: Apache-2.0
#include "kiosk/domain/clock.h"

#include <fmt/format.h>
#include <re2/re2.h>
#include <time.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
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

std::optional<std::int64_t> moment_of(std::string_view iso_time) {
  static const RE2 form(
      R"((\d{4})-(\d\d)-(\d\d)[T ](\d\d):(\d\d)(?::(\d\d)(\.\d{1,9})?)?(?:Z|([+-])(\d\d):?(\d\d)))");
  std::array<std::string, 10> parts;
  auto& [year, month, day, hour, minute, second, fraction, sign, offset_h, offset_min] = parts;
  if (!RE2::FullMatch(iso_time, form, &year, &month, &day, &hour, &minute, &second, &fraction,
                      &sign, &offset_h, &offset_min))
    return std::nullopt;
  const auto number = [](const std::string& digits) {
    return digits.empty() ? 0 : std::stoi(digits);
  };
  const std::chrono::year_month_day date{std::chrono::year{number(year)},
                                         std::chrono::month{static_cast<unsigned>(number(month))},
                                         std::chrono::day{static_cast<unsigned>(number(day))}};
  if (!date.ok() || number(hour) > 23 || number(minute) > 59 || number(second) > 60 ||
      number(offset_h) > 23 || number(offset_min) > 59)
    return std::nullopt;
  const std::int64_t days = std::chrono::sys_days{date}.time_since_epoch().count();
  const int ahead_min = (sign == "-" ? -1 : 1) * (number(offset_h) * 60 + number(offset_min));
  const std::int64_t minutes = (days * 24 + number(hour)) * 60 + number(minute) - ahead_min;
  const double part_s = fraction.empty() ? 0 : std::stod("0" + fraction);
  return (minutes * 60 + number(second)) * 1'000'000 + std::llround(part_s * 1e6);
}

}  // namespace lastlook::domain
