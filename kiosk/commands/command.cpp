// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/command.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <string_view>
#include <vector>

namespace lastlook::commands {

int report(const Error& error) {
  fmt::print(stderr, "lastlook: {}\n", error.message);
  const bool input = error.category == Category::bad_input || error.category == Category::not_found;
  return input ? bad_input : says_no;
}

namespace {

// CLI11 says only that a command is missing; a person wants to see which word was not one.
Status check_command(const CLI::App& app, std::string_view word) {
  if (word.starts_with('-')) return {};
  std::vector<std::string> known;
  for (const CLI::App* command : app.get_subcommands(nullptr)) known.push_back(command->get_name());
  if (std::ranges::count(known, word) > 0) return {};
  return fail(Category::bad_input, fmt::format("'{}' is not a command, expected one of {}", word,
                                               fmt::join(known, ", ")));
}

}  // namespace

int run(int argc, const char* const* argv, OpenWindow open_window, CheckDisplay check_display) {
  Program program;
  program.open_window = std::move(open_window);
  program.check_display = std::move(check_display);
  program.app.name("lastlook");
  program.app.description(
      "The last look at each unit of an assembly line, and what the looks say.");
  program.app.require_subcommand(1);
  program.app.set_version_flag("--version", LASTLOOK_VERSION);
  add_pareto(program);
  add_pchart(program);
  add_agreement(program);
  add_escapes(program);
  add_where(program);
  add_yield(program);
  add_unit(program);
  add_contain(program);
  add_claim(program);
  add_concession(program);
  add_plan(program);
  add_teach(program);
  add_see(program);
  add_station(program);
  add_people(program);
  add_study(program);
  add_results(program);
  add_report(program);
  add_records(program);
  add_sync(program);
  add_plant(program);
  add_simulate(program);
  add_demo(program);
  add_kiosk(program);
  add_doctor(program);
  program.app.footer("Example: lastlook pareto findings.csv --json");
  const std::string_view word = argc > 1 ? argv[1] : "help";
  if (word == "help") {
    fmt::print("{}", program.app.help());
    return argc > 1 ? done : bad_input;
  }
  if (const Status known = check_command(program.app, word); !known) return report(known.error());
  try {
    program.app.parse(argc, argv);
  } catch (const CLI::Success& success) {
    return program.app.exit(success);
  } catch (const CLI::ParseError& error) {
    fmt::print(stderr, "lastlook: {} (see lastlook --help)\n", error.what());
    return bad_input;
  } catch (const std::exception& error) {
    // A library refused what it was given; better one line than a crash.
    fmt::print(stderr, "lastlook: {}\n", error.what());
    return bad_input;
  }
  return program.exit_code;
}

}  // namespace lastlook::commands
