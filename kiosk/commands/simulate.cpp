// SPDX-License-Identifier: Apache-2.0
// lastlook simulate: whether a plant's store bears its stations, before there are any.
#include <fmt/format.h>

#include <memory>

#include "kiosk/commands/command.h"
#include "kiosk/commands/output.h"
#include "kiosk/commands/progress.h"
#include "kiosk/trial/trial.h"

namespace lastlook::commands {
namespace {

struct SimulateCommand {
  trial::Trial trial;
  std::int64_t seconds = 600;
  bool calm = false, json = false;
};

std::string seconds(std::int64_t ms) {
  return fmt::format("{:.1f} s", static_cast<double>(ms) / 1'000);
}

std::int64_t bytes_per_look(const trial::Outcome& outcome) {
  return outcome.looks == 0 ? 0 : outcome.bytes / outcome.looks;
}

Json as_json(const SimulateCommand& command, const trial::Outcome& outcome) {
  Json troubles = Json::array();
  for (const auto& [what, times] : outcome.troubles)
    troubles.push_back({{"what", what}, {"times", times}});
  return {{"whole", outcome.faults.empty()},
          {"stations", command.trial.stations},
          {"seconds", command.seconds},
          {"rate", command.trial.rate},
          {"looks", outcome.looks},
          {"entries", outcome.entries},
          {"bytes_per_look", bytes_per_look(outcome)},
          {"cuts", outcome.cuts},
          {"kills", outcome.kills},
          {"entries_at_the_end", outcome.at_the_end},
          {"lag_ms",
           {{"half", outcome.lag_half_ms},
            {"19_of_20", outcome.lag_19_of_20_ms},
            {"99_of_100", outcome.lag_99_of_100_ms},
            {"longest", outcome.lag_longest_ms}}},
          {"troubles", troubles},
          {"faults", outcome.faults}};
}

std::string as_text(const SimulateCommand& command, const trial::Outcome& outcome) {
  std::string text = fmt::format(
      "{} stations for {} s, {:g} times as fast as on a line: {} looks, {} entries, {} bytes a "
      "look\n{} cuts of a network, {} kills of a station; {} entries went when it was over\n",
      command.trial.stations, command.seconds, command.trial.rate, outcome.looks, outcome.entries,
      bytes_per_look(outcome), outcome.cuts, outcome.kills, outcome.at_the_end);
  text += fmt::format(
      "from the last touch of a look into the store: half within {}, 19 of 20 within {}, 99 of 100 "
      "within {}, the slowest {}\n",
      seconds(outcome.lag_half_ms), seconds(outcome.lag_19_of_20_ms),
      seconds(outcome.lag_99_of_100_ms), seconds(outcome.lag_longest_ms));
  for (const auto& [what, times] : outcome.troubles)
    text += fmt::format("{} tries failed: {}\n", times, what);
  for (const std::string& fault : outcome.faults) text += fault + "\n";
  if (outcome.faults.empty())
    text += "every entry is in the store, once, as its station wrote it\n";
  return text;
}

int simulate(SimulateCommand& command) {
  command.trial.lasts = std::chrono::seconds(command.seconds);
  command.trial.faults = !command.calm;
  const auto outcome = [&] {
    Progress bar("stations at work");
    return trial::run(command.trial, [&](std::chrono::seconds passed) {
      bar.show(static_cast<int>(passed.count()), static_cast<int>(command.seconds));
    });
  }();
  if (!outcome) return report(outcome.error());
  fmt::print("{}",
             command.json ? as_json(command, *outcome).dump(2) + "\n" : as_text(command, *outcome));
  return outcome->faults.empty() ? done : says_no;
}

}  // namespace

void add_simulate(Program& program) {
  auto command = std::make_shared<SimulateCommand>();
  CLI::App* app = program.app.add_subcommand(
      "simulate", "Lets many invented stations send to an empty store while they fail");
  app->add_option("STORE", command->trial.store, "sqlite:FILE, folder:FOLDER or postgresql://…")
      ->required();
  app->add_option("--dir", command->trial.folder, "Where the stations are made; missing or empty")
      ->required();
  app->add_option("--stations", command->trial.stations, "How many")
      ->check(CLI::Range(1, 1'000))
      ->capture_default_str();
  app->add_option("--seconds", command->seconds, "How long they work")
      ->check(CLI::Range(1, 86'400))
      ->capture_default_str();
  app->add_option("--rate", command->trial.rate, "How many times as fast as on a line")
      ->check(CLI::Range(0.1, 1'000.0))
      ->capture_default_str();
  app->add_flag("--calm", command->calm, "No network is cut and no station killed");
  app->add_flag("--json", command->json, "Writes JSON");
  app->footer(
      "On a line a station looks at a unit in 40 s and sends every 20 s; its network is cut for a\n"
      "minute every five, and it is killed every half hour, on average. In the end every entry of\n"
      "every station is counted and compared. A server is tried by the owner of a store made for\n"
      "it ('lastlook plant init'), who may make logins; theirs are gone when the trial ends.\n"
      "Example: lastlook simulate postgresql://owner@plant-server/trial --dir trial");
  app->callback([&program, command] { program.exit_code = simulate(*command); });
}

}  // namespace lastlook::commands
