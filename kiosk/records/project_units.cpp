// SPDX-License-Identifier: Apache-2.0
// Units: what they were built as, the results they came with, which looks are theirs.
#include <fmt/format.h>

#include <algorithm>

#include "kiosk/records/projection.h"

namespace lastlook::records {
namespace {

bool is_same(const UpstreamResultRow& known, const domain::UpstreamResult& result) {
  return result.measured_us != 0 && known.measured_us == result.measured_us &&
         known.test == result.test && known.passed == result.passed && known.value == result.value;
}

// A result that comes to a station twice is kept once.
void add_result(At& at, const std::string& serial, const domain::UpstreamResult& result,
                UpstreamResultRow paper = {}) {
  const auto known = at.rows.all<UpstreamResultRow>({serial, at.station.station});
  if (std::ranges::any_of(known, [&](const auto& row) { return is_same(row, result); })) return;
  UpstreamResultRow row = std::move(paper);
  row.serial = serial;
  row.station = at.station.station;
  row.nth = std::ssize(known) + 1;
  row.test = result.test;
  row.passed = result.passed;
  row.value = result.value;
  row.measured_us = result.measured_us;
  row.arrived_us = at.now_us();
  at.rows.put(row);
}

// Where a look stands among the looks of its unit, which are in the order of their numbers.
void insert_by_opening(std::vector<LookRow>& looks, const LookRow& look) {
  looks.push_back(look);
  if (at_several_stations(looks)) return order_by_opening(looks);
  looks.pop_back();
  const auto later = std::ranges::find_if(
      looks, [&](const LookRow& other) { return other.opened_us > look.opened_us; });
  looks.insert(later, look);
  for (std::size_t i = 0; i < looks.size(); ++i) looks[i].number = static_cast<std::int64_t>(i) + 1;
}

}  // namespace

void project(At& at, const domain::UnitBuilt& it) {
  at.rows.put(unit_row(at.rows, it.serial));
  at.rows.put(UnitBuildRow{it.serial, at.station.station, it.variant, at.now_us(), it.made});
  for (const auto& result : it.results) add_result(at, it.serial, result);
  settle_voids(at.rows, it.serial);
}

void project(At& at, const domain::PartsFitted& it) {
  at.rows.put(unit_row(at.rows, it.serial));
  const std::string& station = at.station.station;
  for (UnitPartRow& row : at.rows.all<UnitPartRow>({it.serial, station})) {
    const bool is_named = std::ranges::count(it.parts, row.part, &domain::FittedPart::part) > 0;
    const bool stays = std::ranges::count(it.parts, domain::FittedPart{row.part, row.lot}) > 0;
    if (!is_named || stays || row.replaced_us > 0) continue;
    row.replaced_us = at.now_us();
    at.rows.put(row);
  }
  for (const domain::FittedPart& one : it.parts) {
    const auto known = at.rows.find<UnitPartRow>({it.serial, station, one.part, one.lot});
    if (!known || known->replaced_us > 0)
      at.rows.put(UnitPartRow{it.serial, station, one.part, one.lot, at.now_us(), 0});
  }
}

void project(At& at, const domain::ResultEntered& it) {
  at.rows.put(unit_row(at.rows, it.serial));
  UpstreamResultRow paper;
  paper.on_paper = it.on_paper;
  paper.first_person = it.first_person;
  paper.second_person = it.second_person;
  add_result(at, it.serial, it.result, paper);
  settle_voids(at.rows, it.serial);
}

void project(At& at, const domain::SerialLinked& it) {
  LookRow look = look_row(at.rows, it.look);
  if (!look.serial.empty())
    refuse(fmt::format("look {} has the serial {} already", look.look, look.serial));
  at.rows.put(unit_row(at.rows, it.serial));
  auto looks = looks_of(at.rows, it.serial);
  looks.push_back(look);
  recount(at.rows, looks, [&](std::vector<LookRow>& all) {
    all.pop_back();
    look.serial = it.serial;
    insert_by_opening(all, look);
  });
  at.rows.put(UnitLookRow{it.serial, it.look});
  if (look.state != "closed") remember_for(at, it.look);
  settle_voids(at.rows, it.serial);
  settle_unit(at.rows, it.serial);
}

void project(At& at, const domain::SerialDisputed& it) {
  UnitRow unit = unit_row(at.rows, it.serial);
  unit.disputed = true;
  at.rows.put(unit);
  for (const std::string& look : {it.look, it.other_look}) {
    if (look.empty()) continue;  // the other body has no look yet
    const auto row = at.rows.find<LookRow>({look});
    if (row && row->state == "closed")
      settle_waiting(at.rows, *row);
    else
      remember_for(at, look);
  }
  settle_unit(at.rows, it.serial);
}

}  // namespace lastlook::records
