// SPDX-License-Identifier: Apache-2.0
// Blind second looks: rows of their own, so that no count of production can see them.
#include <fmt/format.h>

#include <algorithm>

#include "kiosk/records/projection.h"

namespace lastlook::records {

using domain::Disposition;

namespace {

SecondLookRow drawn_row(Rows& rows, const LookRow& second) {
  auto row = rows.find<SecondLookRow>({second.serial, second.second_of});
  if (!row) refuse(fmt::format("look {} was not drawn for a second look", second.second_of));
  return *std::move(row);
}

}  // namespace

void project(At& at, const domain::SecondLookDrawn& it) {
  const LookRow look = look_row(at.rows, it.look);
  if (look.state != "closed" || look.serial.empty() || !look.second_of.empty())
    refuse(fmt::format("look {} is none that can be drawn for a second look", it.look));
  if (at.rows.find<SecondLookRow>({look.serial, it.look}))
    refuse(fmt::format("look {} was drawn already", it.look));
  SecondLookRow row;
  row.serial = look.serial;
  row.look = it.look;
  row.station = look.station;
  row.variant = look.variant;
  row.production_date = look.production_date;
  row.shift = look.shift;
  row.rate = it.rate;
  row.number = it.number;
  row.first = it.disposition;
  row.first_by = look.closed_by;
  row.drawn_us = at.now_us();
  at.rows.put(row);
  settle_waiting(at.rows, look);
}

void open_second_look(At& at, const LookRow& second) {
  SecondLookRow row = drawn_row(at.rows, second);
  if (row.state != "waiting") refuse(fmt::format("look {} was looked at again", row.look));
  row.state = "open";
  row.second_look = second.look;
  at.rows.put(row);
  settle_waiting(at.rows, look_row(at.rows, row.look));
}

void decide_second_look(At& at, const LookRow& second) {
  SecondLookRow row = drawn_row(at.rows, second);
  row.state = "done";
  row.second = second.disposition;
  row.second_by = second.closed_by;
  row.done_us = second.closed_us;
  at.rows.put(row);
  settle_waiting(at.rows, second);
}

bool looks_differ(Rows& rows, const SecondLookRow& row) {
  if (row.first != Disposition::accept || !row.second || *row.second == Disposition::accept)
    return false;
  return look_row(rows, row.look).disposition == Disposition::accept &&
         looks_of(rows, row.serial).back().look == row.look;
}

}  // namespace lastlook::records
