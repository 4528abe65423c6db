// SPDX-License-Identifier: Apache-2.0
// lastlook plan: how many units a proof or a study needs.
#include <fmt/format.h>

#include "analytics/sample_size.h"
#include "kiosk/commands/command.h"
#include "kiosk/commands/output.h"

namespace lastlook::commands {
namespace {

using namespace analytics;

struct PlanCommand {
  double rate = 0.05;
  std::int64_t misses = 0;
  double confidence = kConfidence;
  KappaPlan kappa;
  std::optional<double> second_share;
  std::vector<double> shares;  // of more than two categories
  std::optional<double> against;
  std::optional<double> half_width;
  double from = 0;
  double to = 0;
  double power = 0.8;
  bool json = false;
};

// One number and what it means.
int answer(const PlanCommand& command, const Result<std::int64_t>& units,
           const std::string& meaning) {
  if (!units) return report(units.error());
  if (command.json) {
    fmt::print("{}\n", Json({{"units", *units}, {"meaning", meaning}}).dump(2));
  } else {
    fmt::print("{} units: {}\n", *units, meaning);
  }
  return done;
}

int plan_proof(const PlanCommand& c) {
  return answer(
      c, units_to_prove(c.rate, c.confidence, c.misses),
      fmt::format(
          "with at most {} missed of so many bad units, the miss rate is below {:g} % with {:g} % "
          "confidence",
          c.misses, 100 * c.rate, 100 * c.confidence));
}

int plan_kappa(PlanCommand c) {
  c.kappa.share_b = c.second_share.value_or(c.kappa.share_a);
  if (!c.shares.empty()) {
    if (!c.against)
      return report(
          {Category::bad_input, "plan kappa: --shares is for a test, expected --against"});
    return answer(
        c, units_for_kappa_of_shares(c.shares, c.kappa.kappa, *c.against, c.confidence, c.power),
        fmt::format("a kappa of {:g} over {} categories is told from {:g} with power {:g} % at "
                    "one-sided {:g} %, whatever the rest of the table",
                    c.kappa.kappa, c.shares.size(), *c.against, 100 * c.power,
                    100 * (1 - c.confidence)));
  }
  if (c.half_width) {
    return answer(c, units_for_kappa_width(c.kappa, *c.half_width, c.confidence),
                  fmt::format("kappa {:g} is known to {:g} either way with {:g} % confidence",
                              c.kappa.kappa, *c.half_width, 100 * c.confidence));
  }
  if (c.against) {
    return answer(
        c, units_for_kappa_test(c.kappa, *c.against, c.confidence, c.power),
        fmt::format("a kappa of {:g} is told from {:g} with power {:g} % at one-sided {:g} %",
                    c.kappa.kappa, *c.against, 100 * c.power, 100 * (1 - c.confidence)));
  }
  return report({Category::bad_input, "plan kappa: expected --half-width or --against"});
}

int plan_shift(const PlanCommand& c) {
  return answer(
      c, sample_to_catch(c.from, c.to, c.power),
      fmt::format("so many a sample, and one point shows a rate of {:g} % that was {:g} % with "
                  "probability {:g} %",
                  100 * c.to, 100 * c.from, 100 * c.power));
}

CLI::App* part(CLI::App* plan, const std::string& name, const std::string& says,
               PlanCommand& command) {
  CLI::App* app = plan->add_subcommand(name, says);
  app->add_flag("--json", command.json, "Writes JSON");
  return app;
}

void add_proof(CLI::App* plan, Program& program, const std::shared_ptr<PlanCommand>& c) {
  CLI::App* app = part(plan, "proof", "Bad units that prove a miss rate", *c);
  app->add_option("--rate", c->rate, "Miss rate to stay below, 0 to 1")->capture_default_str();
  app->add_option("--misses", c->misses, "Misses allowed")->capture_default_str();
  app->add_option("--confidence", c->confidence, "One-sided, 0 to 1")->capture_default_str();
  app->footer("Example:\n  lastlook plan proof --rate 0.05 --confidence 0.95");
  app->callback([&program, c] { program.exit_code = plan_proof(*c); });
}

void add_kappa(CLI::App* plan, Program& program, const std::shared_ptr<PlanCommand>& c) {
  CLI::App* app = part(plan, "kappa", "Items for a study of two inspectors", *c);
  app->add_option("--expect", c->kappa.kappa, "Kappa that they are expected to reach")
      ->capture_default_str();
  auto* share = app->add_option("--share", c->kappa.share_a, "Share of items called bad, 0 to 1")
                    ->capture_default_str();
  auto* second = app->add_option("--second-share", c->second_share,
                                 "The same for the second inspector (default: as the first)");
  auto* width =
      app->add_option("--half-width", c->half_width, "How well kappa is to be known, either way");
  app->add_option("--shares", c->shares,
                  "Shares of more than two categories, alike for both: 0.2,0.25,0.55")
      ->delimiter(',')
      ->allow_extra_args(false)
      ->excludes(share)
      ->excludes(second)
      ->excludes(width);
  auto* against =
      app->add_option("--against", c->against, "Kappa that it is to be told from")->excludes(width);
  app->add_option("--power", c->power, "Of the test, 0 to 1")
      ->needs(against)
      ->capture_default_str();
  app->add_option("--confidence", c->confidence, "Two-sided for a width, one-sided for a test")
      ->capture_default_str();
  app->footer(
      "Examples:\n  lastlook plan kappa --expect 0.85 --against 0.7 --share 0.5\n"
      "  lastlook plan kappa --expect 0.6 --against 0.4 --shares 0.2,0.25,0.55");
  app->callback([&program, c] { program.exit_code = plan_kappa(*c); });
}

void add_shift(CLI::App* plan, Program& program, const std::shared_ptr<PlanCommand>& c) {
  CLI::App* app = part(plan, "shift", "Units a sample, so that a chart shows a change", *c);
  app->add_option("--from", c->from, "Rate as it is, 0 to 1")->required();
  app->add_option("--to", c->to, "Rate to be seen, larger")->required();
  app->add_option("--power", c->power, "Probability that one point shows it")
      ->capture_default_str();
  app->footer("Example:\n  lastlook plan shift --from 0.02 --to 0.06 --power 0.9");
  app->callback([&program, c] { program.exit_code = plan_shift(*c); });
}

}  // namespace

void add_plan(Program& program) {
  CLI::App* plan =
      program.app.add_subcommand("plan", "Says how many units a proof or a study needs");
  plan->require_subcommand(1);
  plan->footer("Example:\n  lastlook plan proof --rate 0.05");
  const auto command = std::make_shared<PlanCommand>();
  add_proof(plan, program, command);
  add_kappa(plan, program, command);
  add_shift(plan, program, command);
}

}  // namespace lastlook::commands
