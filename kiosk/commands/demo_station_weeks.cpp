// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/demo_station_weeks.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>

namespace lastlook::commands {
namespace {

using domain::Disposition;
using domain::UpstreamTest;

constexpr std::int64_t second_us = 1'000'000;
constexpr std::int64_t hour_us = 3600 * second_us;
constexpr std::int64_t day_us = 24 * hour_us;
constexpr double takt_s = 214;  // a unit every three and a half minutes
constexpr int units_between_second_looks = 8;

// Three inspectors share four places: early one at each station, late one at both in turn. They
// change places every week, so that skill and shift do not go together.
const DemoPerson& inspector_of(int station, int week, bool late) {
  const int place = late ? 2 : station;
  return demo_people()[static_cast<std::size_t>((place + week) % 3)];
}

// A unit after rework: what was found is mended, what nobody saw is still there. Whatever the tag
// had, it now has its own.
LineUnit mended(LineUnit unit, const std::vector<Fault>& found) {
  std::erase_if(unit.faults, [&](const Fault& fault) {
    return fault.defect == "tag_of_other_type" ||
           std::find(found.begin(), found.end(), fault) != found.end();
  });
  unit.code = tag_type_of(unit.variant) + "-" + unit.serial;
  unit.late_result.reset();
  return unit;
}

int year_of(std::int64_t day) {
  return static_cast<int>(
      std::chrono::year_month_day{std::chrono::sys_days{std::chrono::days{day}}}.year());
}

int day_of_year(std::int64_t day) {
  const std::chrono::sys_days date{std::chrono::days{day}};
  const std::chrono::year year{year_of(day)};
  return static_cast<int>((date - std::chrono::sys_days{year / 1 / 1}).count()) + 1;
}

}  // namespace

StationWeeks::StationWeeks(int index, records::Records& records, ScriptedClock& clock,
                           const Weeks& weeks, std::uint64_t seed, std::atomic<int>& looks)
    : index_(index),
      records_(records),
      clock_(clock),
      weeks_(weeks),
      looks_(looks),
      chance_(seed * 2 + static_cast<std::uint64_t>(index)),
      draws_(seed * 17 + static_cast<std::uint64_t>(index)),
      line_(seed * 31 + static_cast<std::uint64_t>(index), 10'000 * (index + 1)) {}

Status StationWeeks::run() {
  auto station = flows::Station::open(records_, clock_, [this] { return draws_.uniform(); });
  if (!station) return tl::unexpected(station.error());
  station_ = std::move(*station);
  hands_ = std::make_unique<ScriptedInspector>(*station_, clock_, chance_);
  for (int day = 0; day < static_cast<int>(weeks_.working_days.size()); ++day) {
    const std::int64_t midnight =
        weeks_.first_midnight_us + weeks_.working_days[static_cast<std::size_t>(day)] * day_us;
    const Shift early{day, false, midnight + 6 * hour_us, chance_.whole(124, 136)};
    // The late inspector is at LL-1 until 18:00, then at LL-2.
    const Shift late{day, true, midnight + (index_ == 0 ? 14 : 18) * hour_us,
                     chance_.whole(61, 67)};
    clock_.go_to(early.start_us);
    const Status done = sort_out_held().and_then([&] { return run_shift(early); }).and_then([&] {
      return run_shift(late);
    });
    if (!done) return done;
  }
  return {};
}

Status StationWeeks::run_shift(const Shift& shift) {
  clock_.go_to(shift.start_us);
  const std::int64_t date = weeks_.working_days[static_cast<std::size_t>(shift.day)];
  const Moment moment{shift.day, static_cast<int>(weeks_.working_days.size()), shift.late,
                      year_of(date), day_of_year(date)};
  std::vector<LineUnit> units;
  for (int i = 0; i < shift.units; ++i) units.push_back(line_.next(moment));
  const DemoPerson& person = inspector_of(index_, shift.day / 5, shift.late);
  Status done = append_build_records(units).and_then(
      [&] { return hands_->sign_in(person.id, person.role, person.skill); });
  for (int i = 0; done && i < shift.units; ++i) {
    const double at_s = takt_s * (i + chance_.between(0, .3));
    clock_.go_to(shift.start_us + static_cast<std::int64_t>(at_s * second_us));
    done = come_again().and_then([&] { return look_at(units[static_cast<std::size_t>(i)]); });
    if (done && i % units_between_second_looks == 0) done = look_a_second_time();
  }
  return done.and_then([&] { return hands_->sign_out(); });
}

// What was put aside for later and is due.
Status StationWeeks::come_again() {
  std::vector<Later> due;
  for (std::size_t i = later_.size(); i-- > 0;)
    if (later_[i].due_us <= clock_.wall_us()) {
      due.push_back(std::move(later_[i]));
      later_.erase(later_.begin() + static_cast<std::ptrdiff_t>(i));
    }
  std::reverse(due.begin(), due.end());
  for (const Later& unit : due) {
    if (const Status came = append_results(unit.unit, unit.tested); !came) return came;
    if (unit.parked_look.empty()) {
      if (const Status looked = look_at(unit.unit); !looked) return looked;
      continue;
    }
    const auto end = hands_->take_up_again(unit.parked_look, unit.unit);
    if (!end) return tl::unexpected(end.error());
    if (const Status kept = remember(unit.unit, *end); !kept) return kept;
  }
  return {};
}

Status StationWeeks::look_at(const LineUnit& unit) {
  const auto end = hands_->look_at(unit);
  if (!end) return tl::unexpected(end.error());
  ++looks_;
  if (const Status kept = remember(unit, *end); !kept) return kept;
  if (end->disposition && !unit.code.empty() && chance_.of(.006))  // the trigger held too long
    return station_->handle(flows::Scan{unit.code, false}).map([](const auto&) {});
  return {};
}

// Between units, the oldest one that somebody else held back.
Status StationWeeks::look_a_second_time() {
  const auto next = std::ranges::find_if(held_back_, [&](const HeldBack& one) {
    return std::ranges::count(one.people, station_->state().person) == 0;
  });
  if (next == held_back_.end()) return {};
  const HeldBack unit = *next;
  held_back_.erase(next);
  const auto second = hands_->look_at(unit.unit);
  if (!second) return tl::unexpected(second.error());
  const bool differ =
      unit.first.disposition == Disposition::accept && second->disposition != Disposition::accept;
  if (differ)
    held_.push_back({unit.first.look, unit.unit, true});
  else
    let_go(unit.unit, unit.first);
  return {};
}

Status StationWeeks::remember(const LineUnit& unit, const LookEnd& end) {
  if (!end.held_back) {
    let_go(unit, end);
    return {};
  }
  const auto record = station_->lookups().unit(unit.serial);
  if (!record) return tl::unexpected(record.error());
  if (record->second_look) held_back_.push_back({unit, end, record->second_look->people});
  return {};
}

// What becomes of a unit after its look.
void StationWeeks::let_go(const LineUnit& unit, const LookEnd& end) {
  const std::int64_t now = clock_.wall_us();
  const auto in_minutes = [&](double low, double high) {
    return now + static_cast<std::int64_t>(60 * chance_.between(low, high)) * second_us;
  };
  if (!end.disposition) {
    later_.push_back({in_minutes(8, 50), mended(unit, {}), end.look, {*unit.late_result}});
  } else if (*end.disposition == Disposition::rework) {
    later_.push_back({in_minutes(25, 150), mended(unit, end.found), {}, voided_by(end.found)});
  } else if (*end.disposition == Disposition::hold) {
    held_.push_back({end.look, mended(unit, end.found)});
  } else if (*end.disposition == Disposition::accept && !unit.faults.empty() && chance_.of(.3)) {
    later_.push_back({now + chance_.whole(1, 3) * day_us, unit, {}, {}});
  }
}

// The quality engineer's round before the early shift.
Status StationWeeks::sort_out_held() {
  if (held_.empty()) return {};
  const DemoPerson& engineer = demo_person(domain::Role::quality_engineer);
  Status done = hands_->sign_in(engineer.id, engineer.role, engineer.skill);
  std::vector<Held> still_held;
  for (const Held& held : held_) {
    if (!done) break;
    if (chance_.of(.15))
      still_held.push_back(held);  // nobody got to it today
    else
      done = sort_out(held);
  }
  held_ = std::move(still_held);
  return done.and_then([&] { return hands_->sign_out(); });
}

Status StationWeeks::sort_out(const Held& held) {
  clock_.pass(chance_.between(10, 25));
  if (held.looks_differ) return look_at(held.unit);
  const auto look = station_->lookups().look(held.look);
  if (!look) return tl::unexpected(look.error());
  // One without a finding (no tag, no result) goes on once that is settled; the others are mended.
  const bool found = *look && !(*look)->findings.empty();
  const bool scrapped = found && chance_.of(.2);
  std::vector<flows::Event> acts;
  if (*look && (*look)->serial.empty())
    acts.emplace_back(flows::LinkSerial{
        held.look, held.unit.code, "serial found by the place in the rack and the build record"});
  if (scrapped || (found && acts.empty()))
    acts.emplace_back(flows::CorrectDisposition{held.look,
                                                scrapped ? Disposition::scrap : Disposition::rework,
                                                "looked at by the quality engineer"});
  else
    acts.emplace_back(
        flows::ReleaseHold{held.look, "settled", demo_person(domain::Role::supervisor).id});
  for (const flows::Event& act : acts)
    if (const auto done = station_->handle(act); !done) return tl::unexpected(done.error());
  if (scrapped) return {};
  const auto in = static_cast<std::int64_t>(chance_.between(1, 4) * hour_us);
  later_.push_back({clock_.wall_us() + in, held.unit, {}, {}});
  return {};
}

std::vector<UpstreamTest> StationWeeks::voided_by(const std::vector<Fault>& found) const {
  std::vector<UpstreamTest> tests;
  for (const Fault& fault : found)
    if (const domain::Defect* defect = station_->state().master.defect(fault.defect))
      for (const UpstreamTest test : defect->voids)
        if (std::find(tests.begin(), tests.end(), test) == tests.end()) tests.push_back(test);
  return tests;
}

domain::UpstreamResult StationWeeks::passed(UpstreamTest test) {
  std::string value = "passed";
  if (test == UpstreamTest::leak) value = fmt::format("{:.2f} cm3/min", chance_.between(.1, .9));
  if (test == UpstreamTest::fill_mass)
    value = fmt::format("{:.3f} kg", chance_.between(.211, .219));
  return {test, true, value, clock_.wall_us()};
}

// Of the parts that are fitted now: a new one comes every few days.
std::string StationWeeks::lot_of(const char* mark, int days) {
  constexpr std::int64_t day_us = 86'400'000'000;
  return fmt::format("{}-{}", mark, clock_.wall_us() / (days * day_us));
}

Status StationWeeks::append_build_records(const std::vector<LineUnit>& units) {
  std::vector<domain::Happening> built;
  for (const LineUnit& unit : units) {
    domain::UnitBuilt record{unit.serial, unit.variant, {}};
    for (const domain::UpstreamRule& rule : records_.master().required_results)
      if (rule.test != unit.late_result) record.results.push_back(passed(rule.test));
    if (unit.build_record) {
      built.emplace_back(record);
      built.emplace_back(domain::PartsFitted{
          unit.serial, {{"seal ring", lot_of("R", 3)}, {"circuit board", lot_of("B", 5)}}});
      continue;
    }
    for (const domain::UpstreamResult& result : record.results)
      built.emplace_back(domain::ResultEntered{unit.serial, result, false, {}, {}});
  }
  return append(built);
}

Status StationWeeks::append_results(const LineUnit& unit, const std::vector<UpstreamTest>& tests) {
  std::vector<domain::Happening> came;
  for (const UpstreamTest test : tests)
    came.emplace_back(domain::ResultEntered{unit.serial, passed(test), false, {}, {}});
  return came.empty() ? Status() : append(came);
}

Status StationWeeks::append(const std::vector<domain::Happening>& happenings) {
  return records_.append(happenings, "station", clock_.read());
}

}  // namespace lastlook::commands
