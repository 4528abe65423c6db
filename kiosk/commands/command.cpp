// SPDX-License-Identifier: Apache-2.0
#include "kiosk/commands/command.h"

#include <fmt/format.h>

namespace lastlook::commands {

int report(const Error& error) {
  fmt::print(stderr, "lastlook: {}\n", error.message);
  const bool input = error.category == Category::bad_input || error.category == Category::not_found;
  return input ? bad_input : says_no;
}

int run(int argc, const char* const* argv, OpenWindow open_window) {
  Program program;
  program.open_window = std::move(open_window);
  program.app.name("lastlook");
  program.app.description(
      "The last look at each unit of an assembly line, and what the looks say.");
  program.app.require_subcommand(1);
  program.app.set_version_flag("--version", LASTLOOK_VERSION);
  add_pareto(program);
  add_pchart(program);
  add_agreement(program);
  add_plan(program);
  add_teach(program);
  add_see(program);
  add_records(program);
  add_demo(program);
  add_kiosk(program);
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
