// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include "kiosk/records/projection.h"

namespace lastlook::records {

void project(At& at, const domain::ReactionRaised& it) {
  ReactionRow row;
  row.reaction = it.reaction;
  row.station = at.station.station;
  row.production_date = at.stamp.production_date;
  row.shift = at.stamp.shift;
  row.plan = it.plan;
  row.defect = it.defect;
  row.component = it.component;
  row.times = it.times;
  row.in_units = it.in_units;
  row.raised_us = at.now_us();
  at.rows.put(row);
}

void project(At& at, const domain::ReactionSettled& it) {
  auto row = at.rows.find<ReactionRow>({it.reaction});
  if (!row) refuse(fmt::format("there is no reaction {}", it.reaction));
  row->settled_us = at.now_us();
  row->settled_by = at.entry.actor;
  row->why = it.why;
  at.rows.put(*row);
}

void project(At& at, const domain::HelpCalled& it) {
  at.rows.put(HelpCallRow{it.help, at.station.station, at.stamp.production_date, at.stamp.shift,
                          it.look, at.now_us(), 0});
}

void project(At& at, const domain::HelpCame& it) {
  auto row = at.rows.find<HelpCallRow>({it.help});
  if (!row) refuse(fmt::format("there is no call {}", it.help));
  row->came_us = at.now_us();
  at.rows.put(*row);
}

void project(At& at, const domain::ViewingChecked& it) {
  at.rows.put(ViewingCheckRow{at.stamp.production_date, at.stamp.shift, at.station.station,
                              at.entry.journal, at.entry.seq, it.lamp, it.lux, it.distance,
                              it.allowed_by, at.now_us()});
}

}  // namespace lastlook::records
