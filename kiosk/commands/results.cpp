// SPDX-License-Identifier: Apache-2.0
// lastlook results: takes results of upstream tests and build records into a station that is not in
// use; a kiosk that runs takes them from its folder `incoming` by itself.
#include "kiosk/text/result_file.h"

#include <fmt/format.h>

#include <memory>

#include "kiosk/commands/command.h"
#include "kiosk/commands/output.h"
#include "kiosk/flows/station.h"

namespace lastlook::commands {
namespace {

struct ResultsCommand {
  std::string dir;
  std::vector<std::string> files;
  bool json = false;
};

int take(const ResultsCommand& command) {
  flows::TakeResults all;
  for (const std::string& name : command.files) {
    const auto file = text::read_result_file(name);
    if (!file) return report(file.error());
    all.built.insert(all.built.end(), file->built.begin(), file->built.end());
    all.results.insert(all.results.end(), file->results.begin(), file->results.end());
    all.fitted.insert(all.fitted.end(), file->fitted.begin(), file->fitted.end());
  }
  const auto records = records::Records::open(command.dir);
  if (!records) return report(records.error());
  domain::SystemClock clock;
  const auto station = flows::Station::open(**records, clock);
  if (!station) return report(station.error());
  const auto outcome = (*station)->handle(all);
  if (!outcome) return report(outcome.error());
  const std::size_t rows = all.built.size() + all.results.size() + all.fitted.size();
  const std::size_t taken = outcome->happenings.size();
  if (command.json)
    fmt::print("{}\n", Json({{"rows", rows}, {"taken", taken}}).dump(2));
  else
    fmt::print("{} of {} records taken in, the others were known already\n", taken, rows);
  return done;
}

}  // namespace

void add_results(Program& program) {
  const auto command = std::make_shared<ResultsCommand>();
  CLI::App* app = program.app.add_subcommand(
      "results", "Takes in results of upstream tests, and what units are built as");
  app->add_option(
         "FILE", command->files,
         "CSV with the columns serial,test,result,value,measured, or serial,variant,made, or "
         "serial,part,lot")
      ->required();
  app->add_option("--dir", command->dir, "The station's folder")->required();
  app->add_flag("--json", command->json, "Write JSON");
  app->footer("Example: lastlook results leak-tester.csv --dir station");
  app->callback([&program, command] { program.exit_code = take(*command); });
}

}  // namespace lastlook::commands
