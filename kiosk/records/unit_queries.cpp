// SPDX-License-Identifier: Apache-2.0
#include "kiosk/records/unit_queries.h"

#include <sodium.h>

#include <algorithm>
#include <set>
#include <string_view>
#include <tuple>

#include "kiosk/records/projection.h"

namespace lastlook::records {
namespace {

// What a person can read aloud and write by hand: no 0, O, 1, I.
std::string random_word(std::size_t length) {
  constexpr std::string_view letters = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ";
  static_assert(letters.size() == 32);
  std::string word;
  for (std::size_t i = 0; i < length; ++i) word += letters[randombytes_uniform(32)];
  return word;
}

domain::FindingAdded finding_from(const FindingRow& row) {
  domain::FindingAdded finding{row.look,     row.finding, row.component, row.defect,
                               row.severity, {},          row.picture,   row.note};
  if (row.place_x && row.place_y) finding.place = domain::Place{*row.place_x, *row.place_y};
  return finding;
}

domain::PastLook look_from(Rows& rows, const LookRow& row) {
  domain::PastLook look;
  look.look = row.look;
  look.station = row.station;
  look.number = row.number;
  look.opened_us = row.opened_us;
  look.closed_us = row.closed_us;
  look.disposition = row.disposition;
  look.parked = row.state == "parked";
  look.serial = row.serial;
  look.ticket = row.ticket;
  look.closed_seq = row.closed_seq;
  look.closed_by = row.closed_by;
  look.second_of = row.second_of;
  look.released = hold_is_released(rows, row);
  std::set<std::string> people;
  if (!row.closed_by.empty()) people.insert(row.closed_by);
  for (const StepAnswerRow& answer : rows.all<StepAnswerRow>({row.look}))
    if (!answer.person.empty()) people.insert(answer.person);  // else drawn, not answered yet
  for (const FindingRow& finding : rows.all<FindingRow>({row.look})) {
    people.insert(finding.person);
    if (!finding.withdrawn) look.findings.push_back(finding_from(finding));
  }
  look.people.assign(people.begin(), people.end());
  return look;
}

std::optional<domain::ClaimJudged> judged(const ClaimRow& row) {
  if (!row.verdict) return std::nullopt;
  return domain::ClaimJudged{row.claim,     row.serial, *row.verdict,
                             row.component, row.defect, row.why};
}

domain::UnitRecord unit_from(Rows& rows, const std::string& serial) {
  domain::UnitRecord unit;
  unit.serial = serial;
  const auto row = rows.find<UnitRow>({serial});
  if (!row) return unit;
  unit.disputed = row->disputed;
  const auto builds = rows.all<UnitBuildRow>({serial});
  const auto newest = std::ranges::max_element(builds, {}, &UnitBuildRow::built_us);
  if (newest != builds.end()) {
    unit.variant = newest->variant;
    unit.made = newest->made;
  }
  for (const UnitPartRow& part : rows.all<UnitPartRow>({serial}))
    if (part.replaced_us == 0) unit.parts.push_back({part.part, part.lot});
  for (const UpstreamResultRow& one : rows.all<UpstreamResultRow>({serial}))
    // A result that does not say when it was measured counts from its arrival.
    unit.results.push_back(
        {{one.test, one.passed, one.value, one.measured_us == 0 ? one.arrived_us : one.measured_us},
         !one.voided_by.empty()});
  for (const LookRow& look : looks_of(rows, serial)) unit.looks.push_back(look_from(rows, look));
  for (const SecondLookRow& drawn : rows.all<SecondLookRow>({serial})) {
    unit.looks_differ = unit.looks_differ || looks_differ(rows, drawn);
    if (drawn.state != "waiting") continue;
    const domain::PastLook first = look_from(rows, look_row(rows, drawn.look));
    unit.second_look = domain::SecondLookDue{first.look, first.people, first.number};
  }
  for (const ClaimRow& claim : rows.all<ClaimRow>({serial}))
    unit.claims.push_back({{claim.claim, serial, claim.reported, claim.complaint}, judged(claim)});
  return unit;
}

using Place = std::tuple<std::int64_t, std::int64_t, std::string>;  // generation, seq, journal

// Where in the journals what a station needs to open stands.
std::vector<Place> unfinished_places(Store& store) {
  Rows rows(store);
  std::vector<Place> places;
  for (const auto& one : rows.all<OpenLookEntryRow>({})) {
    places.emplace_back(one.generation, one.seq, one.journal);
    const auto look = rows.find<LookRow>({one.look});
    if (!look) continue;
    if (const auto master = rows.find<MasterRow>({look->station, look->revision}))
      places.emplace_back(master->generation, master->seq, master->journal);
  }
  for (const auto& one : rows.all<ProofEntryRow>({}))
    places.emplace_back(one.generation, one.seq, one.journal);
  need(store.query("newest_approval", {}, [&](const Row& row) {
    places.emplace_back(std::get<std::int64_t>(row[0]), std::get<std::int64_t>(row[1]),
                        std::get<std::string>(row[2]));
  }));
  const auto stations = rows.all<StationStateRow>({});
  const auto now = std::ranges::max_element(stations, {}, &StationStateRow::generation);
  if (now == stations.end()) return places;
  if (now->signed_seq > 0) places.emplace_back(now->generation, now->signed_seq, now->journal);
  if (const auto master = rows.find<MasterRow>({now->station, now->master_revision}))
    places.emplace_back(master->generation, master->seq, master->journal);
  std::ranges::sort(places);
  places.erase(std::unique(places.begin(), places.end()), places.end());
  return places;
}

// Runs a query that throws Failed inside.
template <class Query>
auto answered(View view, Query query) -> Result<decltype(query(std::declval<Rows&>()))> {
  try {
    Rows rows(view.store);
    return query(rows);
  } catch (const Failed& failed) {
    return tl::unexpected(failed.error);
  }
}

}  // namespace

Result<domain::UnitRecord> unit_record(View view, const std::string& serial) {
  return answered(view, [&](Rows& rows) { return unit_from(rows, serial); });
}

Result<std::optional<domain::PastLook>> past_look(View view, const std::string& look) {
  return answered(view, [&](Rows& rows) -> std::optional<domain::PastLook> {
    const auto row = rows.find<LookRow>({look});
    if (!row) return std::nullopt;
    return look_from(rows, *row);
  });
}

Result<std::vector<domain::Concession>> concessions(View view, std::int64_t now_us) {
  std::vector<domain::Concession> valid;
  const Status done = view.store.query("concessions_after", {now_us}, [&](const Row& row) {
    const auto text = [&](std::size_t column) { return std::get<std::string>(row[column]); };
    const auto whole = [&](std::size_t column) { return std::get<std::int64_t>(row[column]); };
    valid.push_back({{text(0), text(1), text(2), text(3), text(4), whole(5), whole(6)}, whole(7)});
  });
  if (!done) return tl::unexpected(done.error());
  return valid;
}

Result<std::int64_t> allowed_until(Records& records, const std::string& person, domain::Bar bar) {
  return answered(records, [&](Rows& rows) -> std::int64_t {
    const auto row = rows.find<SignInAllowanceRow>(
        {records.station(), person, std::string(domain::to_word(bar))});
    return row ? row->until_us : 0;
  });
}

Result<std::vector<UnitWithLot>> units_with_lot(View view, const std::string& lot,
                                                const std::string& part) {
  std::vector<UnitWithLot> units;
  const Status done = view.store.query("units_with_lot", {lot, part}, [&](const Row& row) {
    using std::get;  // the columns are never empty
    units.push_back({get<std::string>(row[0]), get<std::string>(row[1]), get<std::int64_t>(row[2]),
                     get<std::int64_t>(row[3]), get<std::string>(row[4])});
  });
  if (!done) return tl::unexpected(done.error());
  return units;
}

Result<std::vector<Entry>> unfinished_entries(Records& records) {
  return answered(records, [&](Rows&) {
    std::vector<Entry> entries;
    for (const auto& [generation, seq, journal] : unfinished_places(records.store())) {
      auto entry = need(records.store().entry(journal, seq));
      if (!entry)
        throw Failed{{Category::damaged,
                      "entry " + std::to_string(seq) + " of a look that is not closed is missing"}};
      entries.push_back(*std::move(entry));
    }
    return entries;
  });
}

std::string new_look_id() {
  return "k-" + random_word(20);
}

double random_number() {
  constexpr double steps = 4294967296.0;  // 2^32
  return randombytes_random() / steps;
}

Result<std::string> new_ticket(Records& records) {
  while (true) {
    std::string ticket = "H-" + random_word(4);
    bool used = false;
    const Status done =
        records.store().query("ticket_used", {ticket}, [&](const Row&) { used = true; });
    if (!done) return tl::unexpected(done.error());
    if (!used) return ticket;
  }
}

}  // namespace lastlook::records
