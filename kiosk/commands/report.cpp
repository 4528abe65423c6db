// SPDX-License-Identifier: Apache-2.0
// lastlook report: what a station says of a shift, for the screen and for paper.
#include <fmt/format.h>

#include <ranges>

#include "kiosk/commands/command.h"
#include "kiosk/commands/places.h"
#include "kiosk/commands/reply.h"
#include "kiosk/domain/calendar.h"
#include "kiosk/domain/clock.h"
#include "kiosk/records/shift_queries.h"
#include "kiosk/reports/shift_report.h"
#include "kiosk/text/languages.h"

namespace lastlook::commands {
namespace {

struct ReportCommand {
  std::string dir, language = "en";
  reports::WhichShift which;
  Delivery delivery;
};

Result<text::Strings> strings_in(const std::string& language) {
  const auto folder = beside_program("assets/strings");
  if (!folder) return tl::unexpected(folder.error());
  const auto languages = text::Languages::load(*folder, language);
  if (!languages) return tl::unexpected(languages.error());
  return languages->in(language);
}

// The last one with a finished look.
Result<reports::WhichShift> last_shift(records::Records& records) {
  const auto shifts = records::by_shift(records, {});
  if (!shifts) return tl::unexpected(shifts.error());
  for (const records::ShiftRow& row : *shifts | std::views::reverse)
    if (row.counts.looks > 0) return reports::WhichShift{row.production_date, row.shift};
  return fail(Category::refused, "no shift with a finished look");
}

Result<reports::WhichShift> which_shift(const ReportCommand& command, records::Records& records) {
  if (command.which.shift.empty()) return last_shift(records);
  if (!domain::is_date(command.which.production_date))
    return fail(Category::bad_input,
                fmt::format("--date: '{}' is not a date, expected one as 2026-11-25",
                            command.which.production_date));
  std::string known;
  for (const domain::Shift& shift : records.master().shifts) {
    if (shift.id == command.which.shift) return command.which;
    known += (known.empty() ? "" : ", ") + shift.id;
  }
  return fail(Category::bad_input,
              fmt::format("--shift: there is no shift '{}', expected one of {}",
                          command.which.shift, known));
}

Json as_json(const reports::ShiftFacts& facts) {
  const records::LookCounts& counts = facts.counts;
  const records::Verdict& journal = *facts.journal;
  return {{"station", facts.station},
          {"production_date", facts.which.production_date},
          {"shift", facts.which.shift},
          {"first_looks", counts.first_looks},
          {"first_pass", counts.first_pass},
          {"looks", counts.looks},
          {"accept", counts.accept},
          {"rework", counts.rework},
          {"hold", counts.hold},
          {"scrap", counts.scrap},
          {"findings", facts.findings.total},
          {"waiting", facts.waiting.size()},
          {"journal",
           {{"entries", journal.entries}, {"whole", journal.whole()}, {"head", journal.head}}}};
}

Result<ExitCode> shift(const ReportCommand& command) {
  const auto say = strings_in(command.language);
  if (!say) return tl::unexpected(say.error());
  const auto records = records::Records::open_to_read(command.dir);
  if (!records) return tl::unexpected(records.error());
  const auto which = which_shift(command, **records);
  if (!which) return tl::unexpected(which.error());
  domain::SystemClock clock;
  const auto facts = reports::checked_shift_facts(**records, *which, {}, clock.read());
  if (!facts) return tl::unexpected(facts.error());
  const Status written =
      write_pages(command.delivery, reports::shift_report(*facts, (*records)->master(), *say));
  if (!written) return tl::unexpected(written.error());
  fmt::print("{}", command.delivery.json ? as_json(*facts).dump(2) + "\n"
                                         : reports::shift_report_text(*facts, *say));
  return facts->journal->whole() ? done : says_no;
}

}  // namespace

void add_report(Program& program) {
  CLI::App* report_of = program.app.add_subcommand("report", "What to print, and to hand over");
  report_of->require_subcommand(1);
  report_of->footer("Example: lastlook report shift --dir station --pdf shift.pdf");
  auto command = std::make_shared<ReportCommand>();
  CLI::App* app = report_of->add_subcommand(
      "shift", "One shift at a station: the five questions of its review; the journal is verified");
  app->add_option("--dir", command->dir, "The station's folder; nothing is written")->required();
  auto* date = app->add_option("--date", command->which.production_date,
                               "Production date, 2026-11-25 (default: of the last shift that has "
                               "a finished look)");
  auto* id =
      app->add_option("--shift", command->which.shift, "With --date: the shift of the calendar");
  date->needs(id);
  id->needs(date);
  app->add_option("--language", command->language, "en, de, es, pl or zh")->capture_default_str();
  add_pages(app, command->delivery);
  app->add_flag("--json", command->delivery.json, "Writes the counts as JSON");
  app->footer(
      "Ends with 1 where the journal is damaged.\n"
      "Examples:\n  lastlook report shift --dir station --pdf shift.pdf --paper letter\n"
      "  lastlook report shift --dir station --date 2026-11-25 --shift early --html shift.html");
  app->callback([&program, command] {
    const auto result = shift(*command);
    program.exit_code = result ? *result : report(result.error());
  });
}

}  // namespace lastlook::commands
