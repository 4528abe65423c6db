// SPDX-License-Identifier: Apache-2.0
#include "kiosk/reports/shift_report.h"

#include <algorithm>
#include <array>
#include <iterator>

#include "analytics/interval.h"
#include "kiosk/domain/clock.h"
#include "kiosk/reports/shift_charts.h"
#include "kiosk/reports/shift_words.h"

namespace lastlook::reports {
namespace {

using text::Strings;

std::string number(std::int64_t value) {
  return std::to_string(value);
}

std::string local(std::int64_t us, int offset_min) {
  std::string time = domain::iso_time(us, offset_min).substr(0, 16);
  std::replace(time.begin(), time.end(), 'T', ' ');
  return time;
}

Figures figures(const ShiftFacts& facts, const Strings& say) {
  const records::LookCounts& counts = facts.counts;
  Figure first_pass{"–", say("report.figure.first_pass"), "", false};
  if (facts.first_pass) {
    const auto& [low, high] = facts.first_pass->limits;
    first_pass.value = percent(say, facts.first_pass->value) + " %";
    first_pass.more = say("report.figure.first_pass_more", {percent(say, low), percent(say, high)});
    first_pass.alert = standing_of(facts.usual) == Standing::worse;
  }
  const auto waiting = static_cast<std::int64_t>(facts.waiting.size());
  return {{number(counts.first_looks), say("report.figure.units"),
           say("report.figure.units_more", {number(counts.looks)})},
          first_pass,
          {number(counts.rework), say("report.figure.rework"),
           say("report.figure.rework_more", {number(counts.hold), number(counts.scrap)})},
          {number(waiting), say("report.figure.waiting"),
           say("report.figure.waiting_more",
               {number(waiting - parked_units(facts)), number(parked_units(facts))})}};
}

using Blocks = std::vector<Block>;

Blocks section(int nth, std::string question, std::string answer, bool alert = false) {
  return {Heading{nth, std::move(question)},
          Paragraph{alert ? Tone::alert : Tone::answer, std::move(answer)}};
}

Paragraph more(std::string text) {
  return {Tone::more, std::move(text)};
}

Blocks most(const ShiftFacts& facts, const Strings& say) {
  Blocks all = section(1, say("question.most"), most_answer(facts, say));
  if (facts.findings.total == 0) return all;
  const auto& rows = facts.findings.rows;
  const auto few = std::ranges::count_if(rows, &analytics::ParetoRow::few);
  // Where no few stand out, the chart says so itself.
  if (few > 0) {
    const double reached = rows[static_cast<std::size_t>(few) - 1].cumulative_percent / 100;
    all.emplace_back(more(
        say("report.most.few", {number(few), number(std::ssize(rows)), percent(say, reached)})));
  }
  all.emplace_back(findings_chart(facts, say));
  return all;
}

Blocks usual(const ShiftFacts& facts, const Strings& say) {
  const Standing standing = standing_of(facts.usual);
  Blocks all =
      section(2, say("question.usual"), usual_answer(facts, say), standing == Standing::worse);
  if (standing == Standing::no_units || standing == Standing::too_few_shifts) return all;
  all.emplace_back(more(say("report.usual.more", {number(facts.usual.shifts)})));
  if (facts.usual.wanders)
    all.emplace_back(more(say("report.usual.wanders", {decimal(say, *facts.usual.wanders, 1)})));
  all.emplace_back(usual_chart(facts, say));
  return all;
}

std::string waiting_as(const records::WaitingUnit& unit) {
  if (unit.parked) return "parked";
  return unit.why == "second_look" ? "held_back" : "on_hold";
}

Blocks waiting(const ShiftFacts& facts, const Strings& say) {
  constexpr std::size_t most_rows = 8;
  Blocks all = section(3, say("question.waiting"), waiting_answer(facts, say));
  if (facts.waiting.empty()) return all;
  Table table{
      {say("report.waiting.unit"), say("report.waiting.variant"), say("report.waiting.state"),
       say("report.waiting.why"), say("report.waiting.since"), say("report.waiting.age")},
      {},
      "llllrr"};
  for (const records::WaitingUnit& unit : facts.waiting) {
    if (table.rows.size() == most_rows) break;
    table.rows.push_back({unit_name(unit), unit.variant, say("report.waiting." + waiting_as(unit)),
                          say((unit.parked ? "park_reason." : "hold_reason.") + unit.why),
                          local(unit.since_us, facts.offset_min),
                          age(facts.written_us - unit.since_us, say)});
  }
  all.emplace_back(std::move(table));
  if (facts.waiting.size() > most_rows)
    all.emplace_back(
        more(say("report.waiting.rest",
                 {number(static_cast<std::int64_t>(facts.waiting.size() - most_rows))})));
  return all;
}

std::string upper_limit(const Strings& say, std::int64_t hits, std::int64_t units) {
  const auto limit = analytics::exact_upper_limit(hits, units);
  return limit ? percent(say, *limit) : "–";
}

// Every unit by its serial: somebody has to find them.
void contain(const ShiftFacts& facts, const Strings& say, Blocks& all) {
  if (facts.contained.empty()) return;
  Table table{
      {say("report.waiting.unit"), say("report.waiting.variant"), say("report.contained.why"),
       say("report.contained.accepted"), say("report.contained.again")},
      {},
      "lllll"};
  for (const records::ContainedUnit& unit : facts.contained)
    table.rows.push_back({unit.serial, unit.variant,
                          say(unit.relied ? "report.contained.relied" : "report.contained.sample"),
                          local(unit.closed_us, facts.offset_min),
                          unit.again
                              ? say("disposition." + std::string(to_word(unit.again->disposition)))
                              : say("report.contained.not_again")});
  all.emplace_back(more(say("report.contained.head", {number(std::ssize(table.rows))})));
  all.emplace_back(std::move(table));
}

Table by_component(const ShiftFacts& facts, const domain::Master& master, const Strings& say) {
  Table table{{say("report.look.component"), say("report.look.good"),
               say("report.look.false_alarms"), say("report.look.good_unsure"),
               say("report.look.bad"), say("report.look.missed"), say("report.look.bad_unsure")},
              {},
              "lrrrrrr"};
  for (const records::OpinionCount& one : facts.camera) {
    const domain::Component* component = master.component(one.component);
    table.rows.push_back({component ? component->name : one.component,
                          number(one.good_yes + one.good_no + one.good_unsure), number(one.good_no),
                          number(one.good_unsure),
                          number(one.bad_yes + one.bad_no + one.bad_unsure), number(one.bad_yes),
                          number(one.bad_unsure)});
  }
  return table;
}

Blocks look(const ShiftFacts& facts, const domain::Master& master, const Strings& say) {
  const CameraSums& sums = facts.camera_sums;
  Blocks all = section(4, say("question.look"), look_answer(facts, say), sums.missed > 0);
  all.emplace_back(more(let_pass_answer(facts, say)));
  if (const std::string field = field_answer(facts, say); !field.empty())
    all.emplace_back(more(field));
  all.emplace_back(more(say("report.proof.line", {proof_answer(facts, say)})));
  contain(facts, say, all);
  if (facts.camera.empty()) return all;
  const std::string key = sums.bad > 0 ? "report.look.more" : "report.look.more_no_bad";
  all.emplace_back(more(say(
      key, {upper_limit(say, sums.missed, sums.bad), upper_limit(say, sums.false_alarms, sums.good),
            number(sums.good_unsure + sums.bad_unsure), number(facts.looks_with_opinion),
            number(facts.counts.looks)})));
  all.emplace_back(by_component(facts, master, say));
  all.emplace_back(more(say("report.look.caveat")));
  return all;
}

Blocks next(const ShiftFacts& facts, const Strings& say) {
  return {Heading{5, say("question.next")}, List{next_answers(facts, say)}};
}

std::string journal_line(const ShiftFacts& facts, const Strings& say) {
  if (!facts.journal) return say("report.foot.unchecked");
  const records::Verdict& journal = *facts.journal;
  if (journal.whole()) return say("report.foot.whole", {number(journal.entries), journal.head});
  return say("report.foot.broken",
             {number(journal.faults.front().seq), journal.faults.front().what});
}

std::string made_from(const ShiftFacts& facts, const domain::Master& master, const Strings& say) {
  const std::string revision = number(master.revision);
  if (!facts.journal) return say("report.sheet.unchecked", {revision});
  return say(facts.journal->whole() ? "report.sheet.whole" : "report.sheet.broken",
             {revision, facts.journal->head});
}

}  // namespace

Document shift_report(const ShiftFacts& facts, const domain::Master& master, const Strings& say) {
  Document report{say("report.title"),
                  head(facts, say),
                  say("report.place", {facts.station, facts.product}),
                  say("language.code"),
                  {figures(facts, say)},
                  {journal_line(facts, say), say("report.foot.how"), say("report.foot.person"),
                   say("report.foot.written", {local(facts.written_us, facts.offset_min)})},
                  made_from(facts, master, say),
                  say("report.sheet.number"),
                  domain::iso_time(facts.written_us, facts.offset_min)};
  for (Blocks& part : std::array{most(facts, say), usual(facts, say), waiting(facts, say),
                                 look(facts, master, say), next(facts, say)})
    std::ranges::move(part, std::back_inserter(report.blocks));
  return report;
}

}  // namespace lastlook::reports
