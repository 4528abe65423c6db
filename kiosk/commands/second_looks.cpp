// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/second_looks.h"

#include <fmt/format.h>

#include <chrono>

namespace lastlook::commands {
namespace {

// The Monday of the date's week, "2026-11-23".
std::string week_of(const std::string& date) {
  using namespace std::chrono;
  const auto part = [&](std::size_t at, std::size_t length) {
    return std::stoi(date.substr(at, length));
  };
  const sys_days day{year{part(0, 4)} / month{static_cast<unsigned>(part(5, 2))} /
                     std::chrono::day{static_cast<unsigned>(part(8, 2))}};
  const year_month_day monday{day - (weekday{day} - Monday)};
  return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(monday.year()),
                     static_cast<unsigned>(monday.month()), static_cast<unsigned>(monday.day()));
}

std::string period_of(const records::SecondLookDone& look, const std::string& each) {
  if (each == "week") return week_of(look.production_date);
  if (each == "shift") return look.production_date + " " + look.shift;
  return look.production_date;
}

}  // namespace

Result<std::vector<records::SecondLookDone>> done_second_looks(records::View view,
                                                               const records::Period& period) {
  auto done = records::second_looks_done(view, period);
  if (done && done->empty())
    return fail(Category::refused,
                "no second look was done on units of this period; the master data says at which "
                "rates they are drawn");
  return done;
}

std::vector<analytics::SecondLook> as_second_looks(const std::vector<records::SecondLookDone>& done,
                                                   const std::string& each) {
  std::vector<analytics::SecondLook> looks;
  for (const records::SecondLookDone& look : done)
    looks.push_back(
        {period_of(look, each), look.first != "accept", look.second != "accept", look.rate});
  return looks;
}

}  // namespace lastlook::commands
