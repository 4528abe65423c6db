// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>

#include "analytics/interval.h"
#include "kiosk/reports/shift_report.h"
#include "kiosk/reports/shift_words.h"

namespace lastlook::reports {
namespace {

using text::Strings;

// Characters, not bytes: a byte of the form 10xxxxxx continues one.
std::size_t width(std::string_view text) {
  return static_cast<std::size_t>(std::ranges::count_if(
      text, [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

struct Line {
  std::string label, value, more;
};

std::string aligned(const std::vector<Line>& lines) {
  std::size_t label = 0;
  std::size_t value = 0;
  for (const Line& line : lines) {
    label = std::max(label, width(line.label));
    value = std::max(value, width(line.value));
  }
  std::string out;
  for (const Line& line : lines) {
    std::string row = "  " + line.label + std::string(label - width(line.label) + 2, ' ') +
                      std::string(value - width(line.value), ' ') + line.value;
    if (!line.more.empty()) row += "  " + line.more;
    out += row + "\n";
  }
  return out;
}

std::string number(std::int64_t value) {
  return std::to_string(value);
}

Line rate(const Strings& say, const std::string& label, std::int64_t hits, std::int64_t units) {
  const auto limits =
      analytics::binomial_interval(hits, units, analytics::BinomialMethod::clopper_pearson);
  std::string more = say("report.line.of", {number(units)});
  if (limits)
    more += " = " + say("report.line.limits",
                        {percent(say, static_cast<double>(hits) / static_cast<double>(units)),
                         percent(say, limits->low), percent(say, limits->high)});
  return {label, number(hits), more};
}

std::vector<Line> camera_lines(const ShiftFacts& facts, const Strings& say) {
  const CameraSums& sums = facts.camera_sums;
  if (facts.camera.empty()) return {{say("report.line.opinions"), "0", ""}};
  return {{say("report.line.opinions"), number(sums.good + sums.bad),
           say("report.line.opinions_more",
               {number(facts.looks_with_opinion), number(facts.counts.looks)})},
          rate(say, say("report.line.missed"), sums.missed, sums.bad),
          rate(say, say("report.line.false_alarms"), sums.false_alarms, sums.good),
          rate(say, say("report.line.unsure"), sums.good_unsure + sums.bad_unsure,
               sums.good + sums.bad)};
}

std::vector<Line> journal_lines(const records::Verdict& journal, const Strings& say) {
  const std::string label = say("report.line.journal");
  if (!journal.whole())
    return {{label, number(journal.entries),
             say("report.line.broken", {number(journal.faults.front().seq)})}};
  return {{label, number(journal.entries), say("report.line.whole")},
          {"", "", say("report.line.head", {journal.head})}};
}

}  // namespace

std::string shift_report_text(const ShiftFacts& facts, const Strings& say) {
  constexpr std::size_t most_kinds = 5;
  const records::LookCounts& counts = facts.counts;
  std::vector<Line> lines{
      {say("report.line.units"), number(counts.first_looks), ""},
      {say("report.line.looks"), number(counts.looks),
       say("report.line.looks_more", {number(counts.accept), number(counts.rework),
                                      number(counts.hold), number(counts.scrap)})}};
  if (facts.first_pass)
    lines.push_back({say("report.line.first_pass"), percent(say, facts.first_pass->value) + " %",
                     say("report.line.interval", {percent(say, facts.first_pass->limits.low),
                                                  percent(say, facts.first_pass->limits.high)})});
  lines.push_back({say("report.line.findings"), number(facts.findings.total), ""});
  for (const analytics::ParetoRow& row : facts.findings.rows) {
    if (static_cast<std::size_t>(row.rank) > most_kinds) break;
    lines.push_back({row.rank == 1 ? say("report.line.most") : "", number(row.count), row.name});
  }
  const auto waiting = static_cast<std::int64_t>(facts.waiting.size());
  lines.push_back({say("report.line.waiting"), number(waiting),
                   say("report.figure.waiting_more",
                       {number(waiting - parked_units(facts)), number(parked_units(facts))})});
  lines.push_back({say("report.line.proof"),
                   number(std::ranges::count(facts.proofs, "held", &records::ProofOfShift::state)),
                   proof_answer(facts, say)});
  std::ranges::copy(camera_lines(facts, say), std::back_inserter(lines));
  if (facts.journal)
    std::ranges::copy(journal_lines(*facts.journal, say), std::back_inserter(lines));
  return fmt::format("{}, {}\n{}  {}\n", head(facts, say), facts.station, aligned(lines),
                     usual_answer(facts, say));
}

}  // namespace lastlook::reports
