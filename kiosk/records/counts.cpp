// SPDX-License-Identifier: Apache-2.0
// What closed looks contribute to the counts, and what depends on the order of a unit's looks.
#include <algorithm>
#include <map>
#include <set>
#include <tuple>

#include "kiosk/records/projection.h"
#include "kiosk/text/master_json.h"

namespace lastlook::records {
namespace {

using domain::Disposition;

void count_look(Rows& rows, const LookRow& look, std::int64_t by) {
  const Row key{look.production_date, look.shift, look.quarter, look.station, look.variant};
  auto row = rows.find<CountLookRow>(key).value_or(
      CountLookRow{look.production_date, look.shift, look.quarter, look.station, look.variant});
  const bool first = look.number == 1;
  const bool accepted = look.disposition == Disposition::accept;
  row.looks += by;
  if (first) row.first_looks += by;
  if (first && accepted && look.concession.empty()) row.first_pass += by;
  if (accepted) row.accept += by;
  if (look.disposition == Disposition::rework) row.rework += by;
  if (look.disposition == Disposition::hold) row.hold += by;
  if (look.disposition == Disposition::scrap) row.scrap += by;
  if (row.looks == 0)
    rows.erase<CountLookRow>(key);
  else
    rows.put(row);
}

void count_finding(Rows& rows, const LookRow& look, const FindingRow& finding,
                   std::int64_t findings, std::int64_t units) {
  const Row key{look.production_date, look.shift,
                look.quarter,         look.station,
                look.variant,         finding.component,
                finding.defect,       std::string(domain::to_word(finding.severity))};
  auto row = rows.find<CountDefectRow>(key).value_or(
      CountDefectRow{look.production_date, look.shift, look.quarter, look.station, look.variant,
                     finding.component, finding.defect, finding.severity});
  row.findings += findings;
  row.units += units;
  if (row.findings == 0 && row.units == 0)
    rows.erase<CountDefectRow>(key);
  else
    rows.put(row);
}

std::vector<FindingRow> standing_findings(Rows& rows, const LookRow& look) {
  auto findings = rows.all<FindingRow>({look.look});
  std::erase_if(findings, [](const FindingRow& finding) { return finding.withdrawn; });
  return findings;
}

// An accept under a concession takes one of the units that it is for; a correction gives it back.
void count_concession(Rows& rows, const LookRow& look, std::int64_t by) {
  if (look.concession.empty() || look.disposition != Disposition::accept) return;
  auto concession = rows.find<ConcessionRow>({look.station, look.concession});
  if (!concession) refuse("there is no concession " + look.concession);
  concession->used += by;
  rows.put(*concession);
}

// The upstream tests that a rework after this look voids.
std::set<domain::UpstreamTest> tests_voided(Rows& rows, const LookRow& look) {
  std::set<domain::UpstreamTest> tests;
  const auto row = rows.find<MasterRow>({look.station, look.revision});
  if (!row) return tests;
  const domain::Master master = need(text::read_master(row->document));
  for (const FindingRow& finding : standing_findings(rows, look))
    if (const domain::Defect* defect = master.defect(finding.defect))
      tests.insert(defect->voids.begin(), defect->voids.end());
  return tests;
}

}  // namespace

void move_counts(Rows& rows, const LookRow& look, std::int64_t by) {
  count_look(rows, look, by);
  count_concession(rows, look, by);
  std::set<std::tuple<std::string, std::string, domain::Severity>> seen;
  for (const FindingRow& finding : standing_findings(rows, look)) {
    const bool counts_here = finding.first_look == look.look;
    const bool one_more_unit =
        look.number == 1 &&
        seen.emplace(finding.component, finding.defect, finding.severity).second;
    if (counts_here || one_more_unit)
      count_finding(rows, look, finding, counts_here ? by : 0, one_more_unit ? by : 0);
  }
}

void settle_sightings(Rows& rows, const LookRow& look, const LookRow* previous) {
  std::multimap<std::pair<std::string, std::string>, std::string> before;
  if (previous) {
    for (const FindingRow& finding : standing_findings(rows, *previous))
      before.emplace(std::pair(finding.component, finding.defect), finding.first_look);
  }
  for (FindingRow& finding : standing_findings(rows, look)) {
    const auto same = before.find({finding.component, finding.defect});
    finding.first_look = same == before.end() ? look.look : same->second;
    if (same != before.end()) before.erase(same);
    rows.put(finding);
  }
}

void order_by_opening(std::vector<LookRow>& looks) {
  std::ranges::sort(looks, {}, [](const LookRow& look) {
    return std::tie(look.opened_us, look.station, look.look);
  });
  for (std::size_t i = 0; i < looks.size(); ++i) looks[i].number = static_cast<std::int64_t>(i) + 1;
}

bool at_several_stations(const std::vector<LookRow>& looks) {
  return std::ranges::any_of(
      looks, [&](const LookRow& look) { return look.station != looks.front().station; });
}

void recount(Rows& rows, std::vector<LookRow> looks,
             const std::function<void(std::vector<LookRow>&)>& change) {
  for (const LookRow& look : looks)
    if (look.state == "closed") move_counts(rows, look, -1);
  change(looks);
  const LookRow* previous = nullptr;
  for (const LookRow& look : looks) {
    rows.put(look);
    if (look.state != "closed") continue;
    settle_sightings(rows, look, previous);
    move_counts(rows, look, 1);
    previous = &look;
  }
}

void settle_voids(Rows& rows, const std::string& serial) {
  auto results = rows.all<UpstreamResultRow>({serial});
  if (results.empty()) return;
  auto looks = looks_of(rows, serial);
  std::erase_if(looks, [](const LookRow& look) { return look.disposition != Disposition::rework; });
  std::vector<std::set<domain::UpstreamTest>> tests;
  for (const LookRow& look : looks) tests.push_back(tests_voided(rows, look));
  for (UpstreamResultRow& result : results) {
    const auto measured = result.measured_us != 0 ? result.measured_us : result.arrived_us;
    std::string voided_by;
    for (std::size_t i = 0; i < looks.size() && voided_by.empty(); ++i)
      if (looks[i].closed_us >= measured && tests[i].contains(result.test))
        voided_by = looks[i].look;
    if (voided_by == result.voided_by) continue;
    result.voided_by = voided_by;
    rows.put(result);
  }
}

}  // namespace lastlook::records
