// SPDX-License-Identifier: Apache-2.0
#include "kiosk/reports/shift_facts.h"

#include <fmt/format.h>

#include <algorithm>

#include "kiosk/domain/master.h"
#include "kiosk/records/second_look_queries.h"

namespace lastlook::reports {
namespace {

using records::Period;

std::string defect_name(const domain::Master& master, const std::string& id) {
  const domain::Defect* defect = master.defect(id);
  return defect ? defect->name : id;
}

std::string name_of(const domain::Master& master, const std::string& component,
                    const std::string& defect) {
  if (component.empty()) return defect_name(master, defect);
  const domain::Component* known = master.component(component);
  return fmt::format("{}: {}", known ? known->name : component, defect_name(master, defect));
}

// In the names of the master data at work.
Result<std::vector<domain::Reaction>> open_reactions(records::Records& records) {
  auto open = records::open_reactions(records, records.station());
  if (!open) return open;
  for (domain::Reaction& one : *open)
    one.defect = name_of(records.master(), one.component, one.defect);
  return open;
}

Result<analytics::ParetoTable> findings(records::Records& records, const Period& period) {
  const auto counts = records::defect_counts(records, period);
  if (!counts) return tl::unexpected(counts.error());
  analytics::ParetoCounter counter;
  for (const records::DefectCount& count : *counts)
    if (count.findings > 0)
      counter.add(name_of(records.master(), count.component, count.defect), count.findings);
  return counter.table();
}

CameraSums sum(const std::vector<records::OpinionCount>& counts) {
  CameraSums sums;
  for (const records::OpinionCount& one : counts) {
    sums.good += one.good_yes + one.good_no + one.good_unsure;
    sums.bad += one.bad_yes + one.bad_no + one.bad_unsure;
    sums.missed += one.bad_yes;
    sums.false_alarms += one.good_no;
    sums.good_unsure += one.good_unsure;
    sums.bad_unsure += one.bad_unsure;
  }
  return sums;
}

Result<LetPass> let_pass(records::Records& records, const WhichShift& which) {
  const Period weeks = four_weeks_to(which.production_date);
  const auto done = records::second_looks_done(records, weeks);
  if (!done) return tl::unexpected(done.error());
  const auto drawn = records::second_looks_drawn(records, weeks);
  if (!drawn) return tl::unexpected(drawn.error());
  std::vector<analytics::SecondLook> looks;
  for (const records::SecondLookDone& look : *done)
    looks.push_back({"", look.first != "accept", look.second != "accept", look.rate});
  auto claims = records::claims(records, {});
  if (!claims) return tl::unexpected(claims.error());
  std::erase_if(*claims, [&](const records::Claim& one) {
    return one.reported < weeks.from || one.reported > weeks.to;
  });
  LetPass all{analytics::escapes_of(looks), 0, records::counted(*claims)};
  for (const records::SecondLooksDrawn& kind : *drawn)
    if (kind.first == "accept") all.drawn += kind.drawn;
  return all;
}

Status add_notes(std::vector<std::string>& notes, records::Records& records, const Period& period) {
  const auto written = records::handover_notes(records, period);
  if (!written) return tl::unexpected(written.error());
  for (const records::HandoverNote& one : *written) notes.push_back(one.note);
  return {};
}

template <class T>
Status take(T& into, Result<T> from) {
  if (!from) return tl::unexpected(from.error());
  into = std::move(*from);
  return {};
}

}  // namespace

std::string shift_name(const domain::Master& master, const std::string& id) {
  for (const domain::Shift& shift : master.shifts)
    if (shift.id == id) return shift.name;
  return id;
}

Result<ShiftFacts> shift_facts(records::Records& records, const WhichShift& which,
                               const std::vector<std::string>& notes, const domain::Reading& now) {
  const Period period = period_of(which);
  ShiftFacts facts;
  facts.station = records.station();
  facts.product = records.master().product;
  facts.shift_name = shift_name(records.master(), which.shift);
  facts.which = which;
  facts.notes = notes;
  facts.written_us = now.wall_us;
  facts.offset_min = now.offset_min;
  const Status read =
      take(facts.counts, records::look_counts(records, period))
          .and_then([&] { return take(facts.findings, findings(records, period)); })
          .and_then([&] { return take(facts.usual, usual_before(records, which)); })
          .and_then([&] { return take(facts.waiting, records::waiting_units(records)); })
          .and_then([&] { return take(facts.camera, records::opinion_counts(records, period)); })
          .and_then([&] {
            return take(facts.looks_with_opinion, records::looks_with_opinion(records, period));
          })
          .and_then([&] { return take(facts.proofs, records::proofs(records, period)); })
          .and_then([&] { return take(facts.contained, records::contained(records, period)); })
          .and_then([&] { return take(facts.let_pass, let_pass(records, which)); })
          .and_then([&] { return take(facts.reactions, open_reactions(records)); })
          .and_then([&] { return take(facts.help, records::help_calls(records, period)); })
          .and_then([&] { return take(facts.viewing, records::viewing_checks(records, period)); })
          .and_then([&] { return add_notes(facts.notes, records, period); });
  if (!read) return tl::unexpected(read.error());
  facts.camera_sums = sum(facts.camera);
  if (facts.counts.first_looks > 0) {
    auto rate = analytics::first_pass_yield(facts.counts.first_pass, facts.counts.first_looks);
    if (!rate) return tl::unexpected(rate.error());
    facts.first_pass = *rate;
  }
  return facts;
}

Result<ShiftFacts> checked_shift_facts(records::Records& records, const WhichShift& which,
                                       const std::vector<std::string>& notes,
                                       const domain::Reading& now) {
  auto facts = shift_facts(records, which, notes, now);
  if (!facts) return facts;
  auto verdict = records::verify(records.folder());
  if (!verdict) return tl::unexpected(verdict.error());
  facts->journal = std::move(*verdict);
  return facts;
}

}  // namespace lastlook::reports
