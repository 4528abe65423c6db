// SPDX-License-Identifier: Apache-2.0
// A look from its opening to its disposition, and what is corrected after it.
#include <fmt/format.h>

#include <algorithm>

#include "kiosk/records/projection.h"

namespace lastlook::records {
namespace {

using domain::Disposition;

LookRow unfinished(Rows& rows, const std::string& look) {
  LookRow row = look_row(rows, look);
  if (row.state == "closed") refuse(fmt::format("look {} is closed", look));
  return row;
}

// Writes a look that closes and counts it. One after it may be closed already, at another station:
// then what was counted there may have been seen here first.
void count_close(Rows& rows, const LookRow& look) {
  auto looks = look.serial.empty() ? std::vector<LookRow>() : looks_of(rows, look.serial);
  const LookRow* previous = nullptr;
  bool is_last = true;
  for (const LookRow& other : looks) {
    if (other.state != "closed") continue;
    if (other.number < look.number) previous = &other;
    if (other.number > look.number) is_last = false;
  }
  if (!is_last)
    return recount(rows, looks, [&](std::vector<LookRow>& all) {
      *std::ranges::find(all, look.look, &LookRow::look) = look;
    });
  rows.put(look);
  settle_sightings(rows, look, previous);
  move_counts(rows, look, 1);
}

bool is_newest(Rows& rows, const LookRow& look) {
  return look.serial.empty() || looks_of(rows, look.serial).back().look == look.look;
}

// Why a closed look's unit is held for a second look, or because of it; empty: it is not.
std::string held_for_second_look(Rows& rows, const LookRow& look) {
  if (look.serial.empty()) return {};
  if (look.second_of.empty()) {
    const auto drawn = rows.find<SecondLookRow>({look.serial, look.look});
    return drawn && drawn->state == "waiting" ? "second_look" : "";
  }
  const auto drawn = rows.find<SecondLookRow>({look.serial, look.second_of});
  return drawn && looks_differ(rows, *drawn) ? "looks_differ" : "";
}

// A variant that is confirmed after it has opinions too; that it stays with the one before doubts
// more, never less.
void settle_first_opinion(Rows& rows, const LookRow& look) {
  if (!look.second_of.empty()) return;
  for (const OpinionRow& one : rows.all<OpinionRow>({look.look})) {
    const auto known = rows.find<FirstOpinionRow>({look.station, look.variant, one.model});
    if (known && known->given_us <= one.given_us) continue;
    rows.put(FirstOpinionRow{look.station, look.variant, one.model, one.given_us});
  }
}

// A new one where the step has no answer yet.
StepAnswerRow answer_row(Rows& rows, const std::string& look, const std::string& component) {
  if (auto known = rows.find<StepAnswerRow>({look, component})) return *std::move(known);
  StepAnswerRow row;
  row.look = look;
  row.component = component;
  return row;
}

}  // namespace

bool hold_is_released(Rows& rows, const LookRow& look) {
  return rows.find<HoldReleaseRow>({look.look}).has_value();
}

LookRow look_row(Rows& rows, const std::string& look) {
  const auto row = rows.find<LookRow>({look});
  if (!row) refuse(fmt::format("there is no look {}", look));
  return *row;
}

UnitRow unit_row(Rows& rows, const std::string& serial) {
  if (auto known = rows.find<UnitRow>({serial})) return *known;
  UnitRow unit;
  unit.serial = serial;
  return unit;
}

std::vector<LookRow> looks_of(Rows& rows, const std::string& serial) {
  std::vector<LookRow> looks;
  for (const UnitLookRow& one : rows.all<UnitLookRow>({serial}))
    looks.push_back(look_row(rows, one.look));
  std::ranges::sort(looks, {},
                    [](const LookRow& look) { return std::pair(look.number, look.opened_us); });
  return looks;
}

void remember_for(At& at, const std::string& look) {
  at.rows.put(OpenLookEntryRow{look, at.station.generation, at.entry.seq, at.entry.journal});
}

void settle_waiting(Rows& rows, const LookRow& look) {
  WaitingRow waiting{look.look, look.serial, look.ticket, look.variant, "", false, 0};
  const bool disputed = !look.serial.empty() && unit_row(rows, look.serial).disputed;
  if (look.state == "parked") {
    waiting.why = look.park_reason;
    waiting.parked = true;
    waiting.since_us = look.parked_us;
  } else if (look.state == "closed" && disputed) {
    waiting.why = "two_with_one_serial";
    waiting.since_us = look.closed_us;
  } else if (look.disposition == Disposition::hold && is_newest(rows, look)) {
    waiting.why = hold_is_released(rows, look) ? "released" : look.why;
    waiting.since_us = look.closed_us;
  } else if (look.state == "closed") {
    waiting.why = held_for_second_look(rows, look);
    waiting.since_us = look.closed_us;
    if (waiting.why.empty()) return rows.erase<WaitingRow>({look.look});
  } else {
    return rows.erase<WaitingRow>({look.look});
  }
  rows.put(waiting);
}

void settle_unit(Rows& rows, const std::string& serial) {
  for (const LookRow& look : looks_of(rows, serial)) settle_waiting(rows, look);
  for (const SecondLookRow& row : rows.all<SecondLookRow>({serial}))
    if (!row.second_look.empty()) settle_waiting(rows, look_row(rows, row.second_look));
}

void project(At& at, const domain::LookOpened& it) {
  if (at.rows.find<LookRow>({it.look})) refuse(fmt::format("there is a look {} already", it.look));
  LookRow look;
  look.look = it.look;
  look.journal = at.entry.journal;
  look.station = at.station.station;
  look.serial = it.serial;
  look.ticket = it.ticket;
  look.number = it.number;
  look.variant = it.variant;
  look.variant_source = it.variant_source;
  look.tag_type = it.tag_type;
  look.revision = it.revision;
  look.opened_us = at.now_us();
  look.second_of = it.second_of;
  at.rows.put(look);
  remember_for(at, it.look);
  if (!it.second_of.empty()) return open_second_look(at, look);
  if (it.serial.empty()) return;
  at.rows.put(unit_row(at.rows, it.serial));
  at.rows.put(UnitLookRow{it.serial, it.look});
  if (const auto looks = looks_of(at.rows, it.serial); at_several_stations(looks)) {
    recount(at.rows, looks, order_by_opening);
    settle_voids(at.rows, it.serial);
  }
  settle_unit(at.rows, it.serial);  // whoever was on hold is being looked at again
}

void project(At& at, const domain::VariantConfirmed& it) {
  LookRow look = unfinished(at.rows, it.look);
  look.variant = it.variant;
  look.variant_source = domain::VariantSource::inspector;
  at.rows.put(look);
  settle_first_opinion(at.rows, look);
  remember_for(at, it.look);
}

void project(At& at, const domain::StepAnswered& it) {
  unfinished(at.rows, it.look);
  StepAnswerRow row = answer_row(at.rows, it.look, it.component);
  const bool is_first = row.first_answer == domain::Answer::not_answered;
  if (is_first) {
    row.first_answer = it.answer;
    row.opinion_shown = it.opinion_shown;
  }
  // The same answer again, after one more look, corrects nothing.
  if (!is_first && row.answer != it.answer) ++row.corrections;
  row.answer = it.answer;
  row.person = at.entry.actor;
  row.answered_us = at.now_us();
  at.rows.put(row);
  remember_for(at, it.look);
}

void project(At& at, const domain::AnswerFirstDrawn& it) {
  unfinished(at.rows, it.look);
  for (const std::string& component : it.components) {
    StepAnswerRow row = answer_row(at.rows, it.look, component);
    row.drawn = true;
    at.rows.put(row);
  }
  remember_for(at, it.look);
}

void project(At& at, const domain::AnsweredTogether& it) {
  unfinished(at.rows, it.look);
  for (std::size_t i = 0; i < it.components.size(); ++i) {
    StepAnswerRow row = answer_row(at.rows, it.look, it.components[i]);
    if (row.first_answer == domain::Answer::not_answered) {
      row.first_answer = domain::Answer::conforming;
      row.opinion_shown = i < it.opinions_shown.size() ? it.opinions_shown[i] : "";
      row.together = true;
    } else if (row.answer != domain::Answer::conforming) {
      ++row.corrections;
    }
    row.answer = domain::Answer::conforming;
    row.person = at.entry.actor;
    row.answered_us = at.now_us();
    at.rows.put(row);
  }
  remember_for(at, it.look);
}

void project(At& at, const domain::OpinionGiven& it) {
  const LookRow look = unfinished(at.rows, it.look);
  for (const domain::ComponentOpinion& one : it.components)
    at.rows.put(OpinionRow{it.look, one.component, one.opinion, one.conforming, one.score,
                           one.reason, one.reason_value, one.box.x, one.box.y, one.box.w, one.box.h,
                           it.frame, it.model, it.picture, at.now_us()});
  settle_first_opinion(at.rows, look);
  remember_for(at, it.look);
}

void project(At& at, const domain::FindingAdded& it) {
  unfinished(at.rows, it.look);
  FindingRow row;
  row.look = it.look;
  row.finding = it.finding;
  row.component = it.component;
  row.defect = it.defect;
  row.severity = it.severity;
  if (it.place) {
    row.place_x = it.place->x;
    row.place_y = it.place->y;
  }
  row.picture = it.picture;
  row.note = it.note;
  row.person = at.entry.actor;
  row.found_us = at.now_us();
  at.rows.put(row);
  remember_for(at, it.look);
}

void project(At& at, const domain::FindingWithdrawn& it) {
  const LookRow look = look_row(at.rows, it.look);
  auto finding = at.rows.find<FindingRow>({it.look, it.finding});
  if (!finding) refuse(fmt::format("look {} has no finding {}", it.look, it.finding));
  finding->withdrawn = true;
  finding->withdrawn_why = it.why;
  finding->first_look.clear();  // it counts nowhere
  const bool counts = look.state == "closed" && look.second_of.empty();
  if (!counts) {
    at.rows.put(*finding);
    if (look.state != "closed") remember_for(at, it.look);
    return;
  }
  auto looks = look.serial.empty() ? std::vector{look} : looks_of(at.rows, look.serial);
  recount(at.rows, looks, [&](std::vector<LookRow>&) { at.rows.put(*finding); });
  settle_voids(at.rows, look.serial);
}

void project(At& at, const domain::OtherScanSeen& it) {
  unfinished(at.rows, it.look);
  remember_for(at, it.look);
}

void project(At& at, const domain::LookParked& it) {
  LookRow look = unfinished(at.rows, it.look);
  look.state = "parked";
  look.park_reason = domain::to_word(it.reason);
  look.parked_us = at.now_us();
  at.rows.put(look);
  remember_for(at, it.look);
  settle_waiting(at.rows, look);
}

void project(At& at, const domain::LookResumed& it) {
  LookRow look = unfinished(at.rows, it.look);
  look.state = "open";
  look.park_reason.clear();
  look.parked_us = 0;
  at.rows.put(look);
  remember_for(at, it.look);
  settle_waiting(at.rows, look);
}

void project(At& at, const domain::LookClosed& it) {
  LookRow look = unfinished(at.rows, it.look);
  look.state = "closed";
  look.park_reason.clear();
  look.parked_us = 0;
  look.disposition = it.disposition;
  look.why = it.why;
  look.concession = it.concession;
  look.closed_by = at.entry.actor;
  look.closed_us = at.now_us();
  look.closed_seq = at.entry.seq;
  look.production_date = at.stamp.production_date;
  look.shift = at.stamp.shift;
  look.quarter = at.stamp.quarter;
  for (const auto& entry : at.rows.all<OpenLookEntryRow>({it.look}))
    at.rows.erase<OpenLookEntryRow>({entry.look, entry.generation, entry.seq});
  if (!look.second_of.empty()) {
    at.rows.put(look);
    return decide_second_look(at, look);
  }
  count_close(at.rows, look);
  if (it.disposition == Disposition::rework) settle_voids(at.rows, look.serial);
  settle_waiting(at.rows, look);
}

void project(At& at, const domain::HoldReleased& it) {
  const LookRow look = look_row(at.rows, it.look);
  if (look.disposition != Disposition::hold || look.state != "closed")
    refuse(fmt::format("look {} is not on hold, so that cannot be released", it.look));
  at.rows.put(HoldReleaseRow{it.look, it.serial, look.station, at.now_us(), at.entry.actor,
                             it.second_person, it.why});
  settle_waiting(at.rows, look);
}

void project(At& at, const domain::DispositionCorrected& it) {
  LookRow look = look_row(at.rows, it.look);
  if (look.disposition != it.from)
    refuse(fmt::format("look {} is not on {}, so that cannot be corrected", it.look,
                       domain::to_word(it.from)));
  const bool counts = look.second_of.empty();
  if (counts) move_counts(at.rows, look, -1);
  const auto before = at.rows.all<CorrectionRow>({it.look});
  at.rows.put(CorrectionRow{it.look, std::ssize(before) + 1, it.from, it.to, look.why, it.why,
                            at.entry.actor, at.now_us()});
  look.disposition = it.to;
  look.why = it.why;
  look.closed_seq = at.entry.seq;
  at.rows.put(look);
  at.rows.erase<HoldReleaseRow>({it.look});  // of what it was corrected from
  if (!counts) return decide_second_look(at, look);
  move_counts(at.rows, look, 1);
  settle_voids(at.rows, look.serial);
  settle_waiting(at.rows, look);
  if (!look.serial.empty()) settle_unit(at.rows, look.serial);
}

}  // namespace lastlook::records
