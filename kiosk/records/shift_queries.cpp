// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/shift_queries.h"

#include <algorithm>
#include <string_view>

#include "kiosk/records/values.h"

namespace lastlook::records {
namespace {

LookCounts counts_from(const Row& row, std::size_t at) {
  return {whole(row[at]),     whole(row[at + 1]), whole(row[at + 2]), whole(row[at + 3]),
          whole(row[at + 4]), whole(row[at + 5]), whole(row[at + 6])};
}

// All rows of a named query, each made by `make`.
template <class Make>
auto all_of(View view, std::string_view query, const Row& given, Make make)
    -> Result<std::vector<decltype(make(Row{}))>> {
  std::vector<decltype(make(Row{}))> all;
  const Status done =
      view.store.query(query, given, [&](const Row& row) { all.push_back(make(row)); });
  if (!done) return tl::unexpected(done.error());
  return all;
}

// How far into the production day a shift starts, minutes. A shift that the plant no longer has
// comes last.
int start_in_day(const domain::Master& master, const std::string& id) {
  constexpr int day_min = 24 * 60;
  int day_start = 0, start = -1;
  for (const domain::Shift& shift : master.shifts) {
    if (shift.id == master.day_starts_with) day_start = shift.start_min;
    if (shift.id == id) start = shift.start_min;
  }
  return start < 0 ? day_min : (start - day_start + day_min) % day_min;
}

}  // namespace

Row parameters(const Period& period) {
  const std::string last = period.to.empty() ? "9999-12-31" : period.to;
  return {period.from, last, period.shift, period.station, period.variant};
}

Result<std::vector<DefectCount>> defect_counts(View view, const Period& period) {
  return all_of(view, "defect_counts", parameters(period), [](const Row& row) {
    return DefectCount{text(row[0]), text(row[1]), text(row[2]), whole(row[3]), whole(row[4])};
  });
}

Result<LookCounts> look_counts(View view, const Period& period) {
  auto rows = all_of(view, "look_counts", parameters(period),
                     [](const Row& row) { return counts_from(row, 0); });
  if (!rows) return tl::unexpected(rows.error());
  return rows->empty() ? LookCounts{} : rows->front();
}

Result<std::vector<DefectCell>> defect_cells(View view, const Period& period) {
  return all_of(view, "defect_cells", parameters(period), [](const Row& row) {
    return DefectCell{
        text(row[0]),  text(row[1]),
        whole(row[2]), text(row[3]),
        text(row[4]),  {text(row[5]), text(row[6]), text(row[7]), whole(row[8]), whole(row[9])}};
  });
}

Result<std::vector<ShiftConditions>> shift_conditions(View view, const Period& period) {
  std::vector<ShiftConditions> shifts;
  std::map<std::string, std::int64_t> most;  // looks of a variant under one revision
  const auto take = [&](const Row& row) {    // one a variant and revision
    if (shifts.empty() || shifts.back().production_date != text(row[0]) ||
        shifts.back().shift != text(row[1])) {
      shifts.push_back({text(row[0]), text(row[1]), 0, 0, {}});
      most.clear();
    }
    ShiftConditions& shift = shifts.back();
    const std::int64_t looks = whole(row[4]);
    shift.first_looks += looks;
    shift.with_opinion += whole(row[5]);
    if (looks <= most[text(row[2])]) return;
    most[text(row[2])] = looks;
    shift.revisions[text(row[2])] = whole(row[3]);
  };
  const Status done = view.store.query("shift_conditions", parameters(period), take);
  if (!done) return tl::unexpected(done.error());
  return shifts;
}

Result<std::vector<ShiftRow>> by_shift(View view, const Period& period) {
  auto rows = all_of(view, "looks_by_shift", parameters(period), [](const Row& row) {
    return ShiftRow{text(row[0]), text(row[1]), counts_from(row, 2)};
  });
  if (!rows) return rows;
  const domain::Master& master = view.master;
  std::ranges::stable_sort(*rows, {}, [&](const ShiftRow& row) {
    return std::pair(row.production_date, start_in_day(master, row.shift));
  });
  return rows;
}

Result<std::vector<HandoverNote>> handover_notes(View view, const Period& period) {
  std::vector<HandoverNote> notes;
  Row asked = parameters(period);
  asked.pop_back();  // a note is about no variant
  const Status read = view.store.query("handover_notes", asked, [&](const Row& row) {
    notes.push_back({std::get<std::string>(row.at(0)), std::get<std::int64_t>(row.at(1))});
  });
  if (!read) return tl::unexpected(read.error());
  return notes;
}

Result<std::vector<WaitingUnit>> waiting_units(View view, const std::string& station) {
  return all_of(view, "waiting_units", {station}, [](const Row& row) {
    return WaitingUnit{text(row[0]), text(row[1]), text(row[2]),       text(row[3]),
                       text(row[4]), text(row[5]), whole(row[6]) != 0, whole(row[7])};
  });
}

}  // namespace lastlook::records
