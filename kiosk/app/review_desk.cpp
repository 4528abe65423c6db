// SPDX-License-Identifier: Apache-2.0
#include "kiosk/app/review_desk.h"

#include "kiosk/domain/calendar.h"
#include "kiosk/screens/wording.h"

namespace lastlook::app {

using namespace screens;

void ReviewDesk::open() {
  facts_ = {};
}

void ReviewDesk::handle(const ReviewEvent& event) {
  struct Take {
    ReviewDesk& desk;
    void operator()(const AskReview& ask) const {
      desk.facts_ = {};
      desk.facts_.question = ask.question;
    }
  };
  std::visit(Take{*this}, event);
}

Status ReviewDesk::gather() {
  const domain::Master& master = parts_.station.state().master;
  const domain::ShiftOfDay today = domain::shift_of(master, parts_.clock.read());
  facts_.production_date = today.production_date;
  facts_.shift.clear();
  for (const domain::Shift& shift : master.shifts)
    if (shift.id == today.shift) facts_.shift = shift.name;
  switch (facts_.question) {
    case Question::most:
      return gather_most({today.production_date, today.production_date, today.shift, "", ""});
    case Question::waiting:
      return gather_waiting();
    default:
      return {};
  }
}

Status ReviewDesk::gather_most(const records::Period& shift) {
  const domain::Master& master = parts_.station.state().master;
  const auto counts = records::defect_counts(parts_.station.records(), shift);
  if (!counts) return tl::unexpected(counts.error());
  analytics::ParetoCounter counter;
  for (const records::DefectCount& count : *counts)
    counter.add(parts_.say("verdict.finding", {component_name(master, count.component),
                                               defect_name(master, count.defect)}),
                count.findings);
  facts_.defects = counter.table();
  return {};
}

Status ReviewDesk::gather_waiting() {
  auto waiting = records::waiting_units(parts_.station.records());
  if (!waiting) return tl::unexpected(waiting.error());
  facts_.waiting = std::move(*waiting);
  return {};
}

}  // namespace lastlook::app
