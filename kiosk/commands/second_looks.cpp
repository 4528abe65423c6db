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

Result<SecondLooks> done_second_looks(records::View view, const records::Period& period) {
  auto done = records::second_looks_done(view, period);
  if (!done) return tl::unexpected(done.error());
  const auto drawn = records::second_looks_drawn(view, period);
  if (!drawn) return tl::unexpected(drawn.error());
  SecondLooks looks{*std::move(done), {}, {}};
  for (const records::SecondLooksDrawn& kind : *drawn) {
    Drawn& into = kind.first == "accept" ? looks.accepted : looks.rejected;
    into.drawn += kind.drawn;
    into.done += kind.done;
  }
  if (looks.done.empty() && !drawn->empty())
    return fail(Category::refused,
                fmt::format("{} units of this period were drawn for a second look, none of them "
                            "was looked at again yet",
                            looks.accepted.drawn + looks.rejected.drawn));
  if (looks.done.empty())
    return fail(Category::refused,
                "no second look was done on units of this period; the master data says at which "
                "rates they are drawn");
  for (records::SecondLookDone& look : looks.done) {
    const Drawn& kind = look.first == "accept" ? looks.accepted : looks.rejected;
    look.rate *= static_cast<double>(kind.done) / static_cast<double>(kind.drawn);
  }
  return looks;
}

std::string drawn_in_words(const SecondLooks& looks) {
  const auto& [done, accepted, rejected] = looks;
  const std::string counts =
      fmt::format("{} units were drawn, {} looked at again", accepted.drawn + rejected.drawn,
                  accepted.done + rejected.done);
  if (accepted.done == accepted.drawn && rejected.done == rejected.drawn) return counts;
  return counts + fmt::format(
                      "; not yet or never: {} of {} accepted and {} of {} rejected ones, taken to "
                      "be like the others of their kind",
                      accepted.drawn - accepted.done, accepted.drawn,
                      rejected.drawn - rejected.done, rejected.drawn);
}

Json drawn_json(const SecondLooks& looks) {
  const auto kind = [](const Drawn& drawn) {
    return Json{
        {"drawn", drawn.drawn}, {"done", drawn.done}, {"not_done", drawn.drawn - drawn.done}};
  };
  return {{"accepted", kind(looks.accepted)}, {"rejected", kind(looks.rejected)}};
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
