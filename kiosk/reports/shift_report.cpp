// SPDX-License-Identifier: Apache-2.0
#include "kiosk/reports/shift_report.h"

#include <fmt/format.h>

#include <algorithm>

#include "analytics/interval.h"
#include "analytics/svg.h"
#include "kiosk/domain/clock.h"
#include "kiosk/reports/html.h"
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

std::string figure(std::string_view value, std::string_view what, std::string_view more,
                   bool alert = false) {
  return fmt::format("<div{}><b>{}</b><span>{}</span><span>{}</span></div>\n",
                     alert ? " class=\"alert\"" : "", escaped(value), escaped(what), escaped(more));
}

std::string figures(const ShiftFacts& facts, const Strings& say) {
  const records::LookCounts& counts = facts.counts;
  std::string out = "<div class=\"figures\">\n";
  out += figure(number(counts.first_looks), say("report.figure.units"),
                say("report.figure.units_more", {number(counts.looks)}));
  if (facts.first_pass)
    out +=
        figure(percent(say, facts.first_pass->value) + " %", say("report.figure.first_pass"),
               say("report.figure.first_pass_more", {percent(say, facts.first_pass->limits.low),
                                                     percent(say, facts.first_pass->limits.high)}),
               standing_of(facts.usual) == Standing::worse);
  else
    out += figure("–", say("report.figure.first_pass"), "");
  out += figure(number(counts.rework), say("report.figure.rework"),
                say("report.figure.rework_more", {number(counts.hold), number(counts.scrap)}));
  const auto waiting = static_cast<std::int64_t>(facts.waiting.size());
  out += figure(number(waiting), say("report.figure.waiting"),
                say("report.figure.waiting_more",
                    {number(waiting - parked_units(facts)), number(parked_units(facts))}));
  return out + "</div>\n";
}

struct Section {
  int nth;
  std::string question, answer;
  bool alert = false;
  std::string body;
};

std::string markup(const Section& section) {
  return fmt::format(
      "<section>\n<h2><i>{}</i>{}</h2>\n<p class=\"answer{}\">{}</p>\n{}</section>\n", section.nth,
      escaped(section.question), section.alert ? " alert" : "", escaped(section.answer),
      section.body);
}

std::string more(const std::string& text) {
  return fmt::format("<p class=\"more\">{}</p>\n", escaped(text));
}

std::string chart(const analytics::Chart& drawing) {
  return fmt::format("<figure>{}</figure>\n", analytics::to_svg(drawing));
}

Section most(const ShiftFacts& facts, const Strings& say) {
  Section section{1, say("question.most"), most_answer(facts, say), false, ""};
  if (facts.findings.total == 0) return section;
  const auto& rows = facts.findings.rows;
  const auto few = std::ranges::count_if(rows, &analytics::ParetoRow::few);
  // Where no few stand out, the chart says so itself.
  if (few > 0) {
    const double reached = rows[static_cast<std::size_t>(few) - 1].cumulative_percent / 100;
    section.body = more(
        say("report.most.few", {number(few), number(std::ssize(rows)), percent(say, reached)}));
  }
  section.body += chart(findings_chart(facts, say));
  return section;
}

Section usual(const ShiftFacts& facts, const Strings& say) {
  const Standing standing = standing_of(facts.usual);
  Section section{2, say("question.usual"), usual_answer(facts, say), standing == Standing::worse,
                  ""};
  if (standing == Standing::no_units || standing == Standing::too_few_shifts) return section;
  section.body = more(say("report.usual.more", {number(facts.usual.shifts)}));
  if (facts.usual.wanders)
    section.body += more(say("report.usual.wanders", {decimal(say, *facts.usual.wanders, 1)}));
  section.body += chart(usual_chart(facts, say));
  return section;
}

std::string waiting_as(const records::WaitingUnit& unit) {
  if (unit.parked) return "parked";
  return unit.why == "second_look" ? "held_back" : "on_hold";
}

Section waiting(const ShiftFacts& facts, const Strings& say) {
  constexpr std::size_t most_rows = 8;
  Section section{3, say("question.waiting"), waiting_answer(facts, say), false, ""};
  if (facts.waiting.empty()) return section;
  std::vector<std::vector<std::string>> rows;
  for (const records::WaitingUnit& unit : facts.waiting) {
    if (rows.size() == most_rows) break;
    rows.push_back({unit_name(unit), unit.variant, say("report.waiting." + waiting_as(unit)),
                    say((unit.parked ? "park_reason." : "hold_reason.") + unit.why),
                    local(unit.since_us, facts.offset_min),
                    age(facts.written_us - unit.since_us, say)});
  }
  section.body =
      table({say("report.waiting.unit"), say("report.waiting.variant"), say("report.waiting.state"),
             say("report.waiting.why"), say("report.waiting.since"), say("report.waiting.age")},
            rows, "llllrr");
  if (facts.waiting.size() > most_rows)
    section.body +=
        more(say("report.waiting.rest",
                 {number(static_cast<std::int64_t>(facts.waiting.size() - most_rows))}));
  return section;
}

std::string upper_limit(const Strings& say, std::int64_t hits, std::int64_t units) {
  const auto limit = analytics::exact_upper_limit(hits, units);
  return limit ? percent(say, *limit) : "–";
}

// Every unit by its serial: somebody has to find them.
std::string containment(const ShiftFacts& facts, const Strings& say) {
  if (facts.contained.empty()) return "";
  std::vector<std::vector<std::string>> rows;
  for (const records::ContainedUnit& unit : facts.contained)
    rows.push_back({unit.serial, unit.variant,
                    say(unit.relied ? "report.contained.relied" : "report.contained.sample"),
                    local(unit.closed_us, facts.offset_min),
                    unit.again ? say("disposition." + std::string(to_word(unit.again->disposition)))
                               : say("report.contained.not_again")});
  return more(say("report.contained.head", {number(static_cast<std::int64_t>(rows.size()))})) +
         table({say("report.waiting.unit"), say("report.waiting.variant"),
                say("report.contained.why"), say("report.contained.accepted"),
                say("report.contained.again")},
               rows, "lllll");
}

Section look(const ShiftFacts& facts, const domain::Master& master, const Strings& say) {
  const CameraSums& sums = facts.camera_sums;
  Section section{4, say("question.look"), look_answer(facts, say), sums.missed > 0, ""};
  const std::string field = field_answer(facts, say);
  section.body = more(let_pass_answer(facts, say)) + (field.empty() ? "" : more(field)) +
                 more(say("report.proof.line", {proof_answer(facts, say)})) +
                 containment(facts, say);
  if (facts.camera.empty()) return section;
  const std::string key = sums.bad > 0 ? "report.look.more" : "report.look.more_no_bad";
  section.body += more(say(
      key, {upper_limit(say, sums.missed, sums.bad), upper_limit(say, sums.false_alarms, sums.good),
            number(sums.good_unsure + sums.bad_unsure), number(facts.looks_with_opinion),
            number(facts.counts.looks)}));
  std::vector<std::vector<std::string>> rows;
  for (const records::OpinionCount& one : facts.camera) {
    const domain::Component* component = master.component(one.component);
    rows.push_back({component ? component->name : one.component,
                    number(one.good_yes + one.good_no + one.good_unsure), number(one.good_no),
                    number(one.good_unsure), number(one.bad_yes + one.bad_no + one.bad_unsure),
                    number(one.bad_yes), number(one.bad_unsure)});
  }
  section.body +=
      table({say("report.look.component"), say("report.look.good"), say("report.look.false_alarms"),
             say("report.look.good_unsure"), say("report.look.bad"), say("report.look.missed"),
             say("report.look.bad_unsure")},
            rows, "lrrrrrr");
  section.body += more(say("report.look.caveat"));
  return section;
}

std::string next(const ShiftFacts& facts, const Strings& say) {
  std::string out =
      fmt::format("<section>\n<h2><i>5</i>{}</h2>\n<ul>\n", escaped(say("question.next")));
  for (const std::string& sentence : next_answers(facts, say))
    out += fmt::format("<li>{}</li>\n", escaped(sentence));
  return out + "</ul>\n</section>\n";
}

std::string journal_line(const ShiftFacts& facts, const Strings& say) {
  if (!facts.journal) return say("report.foot.unchecked");
  const records::Verdict& journal = *facts.journal;
  if (journal.whole()) return say("report.foot.whole", {number(journal.entries), journal.head});
  return say("report.foot.broken",
             {number(journal.faults.front().seq), journal.faults.front().what});
}

std::string foot(const ShiftFacts& facts, const Strings& say) {
  std::string out = "<footer>\n";
  for (const std::string& line :
       {journal_line(facts, say), say("report.foot.how"), say("report.foot.person"),
        say("report.foot.written", {local(facts.written_us, facts.offset_min)})})
    out += fmt::format("<p>{}</p>\n", escaped(line));
  return out + "</footer>\n";
}

}  // namespace

std::string shift_report_html(const ShiftFacts& facts, const domain::Master& master,
                              const Strings& say) {
  const std::string title = head(facts, say);
  std::string body = fmt::format("<header>\n<p>{}</p>\n<h1>{}</h1>\n<p>{}</p>\n</header>\n",
                                 escaped(say("report.title")), escaped(title),
                                 escaped(say("report.place", {facts.station, facts.product})));
  body += figures(facts, say);
  for (const Section& section :
       {most(facts, say), usual(facts, say), waiting(facts, say), look(facts, master, say)})
    body += markup(section);
  body += next(facts, say) + foot(facts, say);
  return page(say("report.title") + " – " + title, say("language.code"), body);
}

}  // namespace lastlook::reports
