// SPDX-License-Identifier: Apache-2.0
// lastlook plan: how many units a proof or a study needs.
#include <fmt/format.h>

#include <algorithm>

#include "analytics/sample_size.h"
#include "analytics/size_chart.h"
#include "kiosk/commands/command.h"
#include "kiosk/commands/plan_source.h"
#include "kiosk/commands/reply.h"

namespace lastlook::commands {
namespace {

using namespace analytics;

struct PlanCommand {
  PlanSource source;
  double rate = 0.05;
  std::int64_t misses = 0;
  double confidence = kConfidence;
  KappaPlan kappa;
  std::optional<double> second_share;
  std::vector<double> shares;  // of more than two categories
  std::optional<double> against;
  std::optional<double> half_width;
  double usual = 0;
  double worse = 0;
  double power = 0.8;
  Delivery delivery;
};

// What was asked, and the same for some other values of one option.
struct Planned {
  std::int64_t units = 0;
  std::string meaning;
  std::string pilot;  // what the data gave, a sentence; empty: everything came by options
  Json from_pilot;    // the same
  std::vector<PlannedSize> sizes;
};

using SizeOf = std::function<Result<std::int64_t>(double)>;

// The asked value among `others`, in order. What cannot be planned is left out, but for the asked.
Status find_sizes(Planned& plan, double asked, std::vector<double> others, const SizeOf& size_of,
                  const std::function<std::string(double)>& name) {
  const Result<std::int64_t> units = size_of(asked);
  if (!units) return tl::unexpected(units.error());
  plan.units = *units;
  others.push_back(asked);
  std::ranges::sort(others);
  others.erase(std::unique(others.begin(), others.end()), others.end());
  for (const double value : others)
    if (const auto size = size_of(value))
      plan.sizes.push_back({name(value), *size, value == asked});
  return {};
}

std::string of_power(double power) {
  return fmt::format("power {:g} %", 100 * power);
}

Reply as_reply(const Planned& plan, const PlanCommand& command) {
  Reply reply("How many units?");
  reply.add(fmt::format("{} units: {}", plan.units, plan.meaning));
  if (!plan.pilot.empty()) reply.add(plan.pilot);
  TextTable table("lrl");
  table.row({"plan", "units", ""});
  for (const PlannedSize& size : plan.sizes)
    table.row({size.plan, std::to_string(size.units), size.asked ? "asked" : ""});
  reply.add(std::move(table));
  add_as_of(reply, command.source.records);
  reply.made_from_file(command.source.file);
  return reply;
}

Json as_json(const Planned& plan, const PlanCommand& command) {
  Json sizes = Json::array();
  for (const PlannedSize& size : plan.sizes)
    sizes.push_back({{"plan", size.plan}, {"units", size.units}, {"asked", size.asked}});
  Json out = {{"units", plan.units}, {"meaning", plan.meaning}};
  if (!plan.from_pilot.is_null()) out["pilot"] = plan.from_pilot;
  out["sizes"] = std::move(sizes);
  add_as_of(out, command.source.records);
  return out;
}

// --- proof -------------------------------------------------------------------------------------

Result<Planned> plan_proof(PlanCommand& c) {
  Planned plan;
  std::int64_t done = 0;
  if (c.source.is_given()) {
    const auto pilot = pilot_misses(c.source);
    if (!pilot) return tl::unexpected(pilot.error());
    c.misses = pilot->missed;
    done = pilot->items;
    plan.from_pilot = {
        {"inspector", pilot->who}, {"bad_items", pilot->items}, {"missed", pilot->missed}};
  }
  const auto size_of = [&](double misses) {
    return units_to_prove(c.rate, c.confidence, static_cast<std::int64_t>(misses));
  };
  const auto missed = static_cast<double>(c.misses);
  const Status sized = find_sizes(plan, missed, {0, 1, 2, 3, missed + 1, missed + 2}, size_of,
                                  [](double n) { return fmt::format("{:g} missed", n); });
  if (!sized) return tl::unexpected(sized.error());
  plan.meaning = fmt::format(
      "with at most {} missed of so many bad units, the miss rate is below {:g} % with {:g} % "
      "confidence",
      c.misses, 100 * c.rate, 100 * c.confidence);
  if (c.source.is_given())
    plan.pilot = fmt::format("{} has missed {} of {} bad items so far: {} more without a miss",
                             plan.from_pilot["inspector"].get<std::string>(), c.misses, done,
                             std::max<std::int64_t>(0, plan.units - done));
  return plan;
}

// --- kappa -------------------------------------------------------------------------------------

Status take_agreement(PlanCommand& c, const CLI::App& app, Planned& plan) {
  if (!c.source.is_given()) return {};
  const auto pilot = pilot_agreement(c.source);
  if (!pilot) return tl::unexpected(pilot.error());
  if (app.count("--expect") == 0) c.kappa.kappa = pilot->kappa;
  const bool by_option = app.count("--share") + app.count("--shares") > 0;
  if (app.count("--expect") > 0 && by_option)
    return fail(Category::bad_input,
                "plan kappa: --expect and the shares leave nothing to take from data, expected "
                "neither FILE, --dir nor --plant");
  plan.pilot = fmt::format("taken from {}: kappa {:.3f}", pilot->who, pilot->kappa);
  plan.from_pilot = {{"of", pilot->who}, {"kappa", pilot->kappa}};
  if (by_option) return {};
  if (pilot->two_categories()) {
    c.kappa.share_a = pilot->shares_a[0];
    c.second_share = c.second_share.value_or(pilot->shares_b[0]);
    plan.pilot += fmt::format(", called bad {:.1f} % and {:.1f} %", 100 * c.kappa.share_a,
                              100 * *c.second_share);
    plan.from_pilot["shares"] = {c.kappa.share_a, *c.second_share};
    return {};
  }
  for (std::size_t k = 0; k < pilot->shares_a.size(); ++k)
    c.shares.push_back((pilot->shares_a[k] + pilot->shares_b[k]) / 2);
  plan.pilot += fmt::format(", shares of {} categories", c.shares.size());
  plan.from_pilot["shares"] = c.shares;
  return {};
}

Status size_test(PlanCommand& c, Planned& plan) {
  const std::vector<double> powers = {0.7, 0.8, 0.9, 0.95};
  if (!c.shares.empty()) {
    plan.meaning = fmt::format(
        "a kappa of {:.4g} over {} categories is told from {:g} with power {:g} % at one-sided "
        "{:g} %, whatever the rest of the table",
        c.kappa.kappa, c.shares.size(), *c.against, 100 * c.power, 100 * (1 - c.confidence));
    return find_sizes(
        plan, c.power, powers,
        [&](double power) {
          return units_for_kappa_of_shares(c.shares, c.kappa.kappa, *c.against, c.confidence,
                                           power);
        },
        of_power);
  }
  plan.meaning =
      fmt::format("a kappa of {:.4g} is told from {:g} with power {:g} % at one-sided {:g} %",
                  c.kappa.kappa, *c.against, 100 * c.power, 100 * (1 - c.confidence));
  return find_sizes(
      plan, c.power, powers,
      [&](double power) { return units_for_kappa_test(c.kappa, *c.against, c.confidence, power); },
      of_power);
}

Status size_width(PlanCommand& c, Planned& plan) {
  if (!c.shares.empty())
    return fail(Category::bad_input,
                "plan kappa: --half-width is for two categories, expected --against");
  plan.meaning = fmt::format("kappa {:.4g} is known to {:g} either way with {:g} % confidence",
                             c.kappa.kappa, *c.half_width, 100 * c.confidence);
  return find_sizes(
      plan, *c.half_width, {0.05, 0.1, 0.15, 0.2},
      [&](double width) { return units_for_kappa_width(c.kappa, width, c.confidence); },
      [](double width) { return fmt::format("{:g} either way", width); });
}

Result<Planned> plan_kappa(PlanCommand& c, const CLI::App& app) {
  Planned plan;
  if (!c.against && !c.half_width)
    return fail(Category::bad_input, "plan kappa: expected --half-width or --against");
  if (const Status s = take_agreement(c, app, plan); !s) return tl::unexpected(s.error());
  c.kappa.share_b = c.second_share.value_or(c.kappa.share_a);
  const Status sized = c.against ? size_test(c, plan) : size_width(c, plan);
  if (!sized) return tl::unexpected(sized.error());
  return plan;
}

// --- shift -------------------------------------------------------------------------------------

Result<Planned> plan_shift(PlanCommand& c, const CLI::App& app) {
  Planned plan;
  if (c.source.is_given()) {
    const auto pilot = pilot_rate(c.source);
    if (!pilot) return tl::unexpected(pilot.error());
    c.usual = pilot->rate;
    plan.pilot = fmt::format("{} samples had {:.2f} % in {:.0f} units each, on average",
                             pilot->samples, 100 * pilot->rate, pilot->units_a_sample);
    plan.from_pilot = {{"samples", pilot->samples},
                       {"rate", pilot->rate},
                       {"units_a_sample", pilot->units_a_sample}};
  } else if (app.count("--rate") == 0) {
    return fail(Category::bad_input, "plan shift: expected --rate, FILE, --dir or --plant");
  }
  plan.meaning = fmt::format(
      "so many a sample, and one point shows a rate of {:.4g} % that was {:.4g} % with probability "
      "{:g} %",
      100 * c.worse, 100 * c.usual, 100 * c.power);
  const Status sized = find_sizes(
      plan, c.power, {0.5, 0.8, 0.9, 0.95},
      [&](double power) { return sample_to_catch(c.usual, c.worse, power); }, of_power);
  if (!sized) return tl::unexpected(sized.error());
  return plan;
}

// --- the command -------------------------------------------------------------------------------

Status open_pilot(PlanCommand& c) {
  if (!c.source.is_given()) return {};
  if (const Status s = check_source(c.source.file, c.source.station); !s) return s;
  return open_where_given(c.source.station, c.source.records);
}

int answer(PlanCommand& c, const std::function<Result<Planned>()>& make) {
  const Status opened = open_pilot(c);
  if (!opened) return report(opened.error());
  const Result<Planned> plan = make();
  if (!plan) return report(plan.error());
  const Status said = deliver(
      c.delivery, as_reply(*plan, c), [&] { return as_json(*plan, c); },
      [&] {
        const double height = 110 + 31.0 * static_cast<double>(plan->sizes.size());
        const WideSansMeasure measure;
        return size_chart(plan->sizes, plan->meaning, {760, height, 14, "How many units?"},
                          measure);
      });
  return said ? done : report(said.error());
}

CLI::App* part(CLI::App* plan, const std::string& name, const std::string& says, PlanCommand& c,
               const std::string& file) {
  CLI::App* app = plan->add_subcommand(name, says);
  add_source(app, c.source.file, c.source.station, file);
  add_delivery(app, c.delivery, "Writes JSON");
  return app;
}

// Of records; `instead` of what they would give without.
void add_study(CLI::App* app, PlanCommand& c, const std::string& instead) {
  auto* study = app->add_option(
      "--study", c.source.study,
      "With --dir or --plant: the study that was rated at the kiosk, by its id" + instead);
  for (const char* option : {"FILE", "--from", "--to", "--shift", "--station", "--variant"})
    study->excludes(app->get_option(option));
}

void add_proof(CLI::App* plan, Program& program, const std::shared_ptr<PlanCommand>& c) {
  CLI::App* app = part(plan, "proof", "Bad units that prove a miss rate", *c,
                       "CSV of a study with a reference, as 'agreement' reads it: the misses so "
                       "far are those of the inspector who missed most");
  app->add_option("--rate", c->rate, "Miss rate to stay below, 0 to 1")->capture_default_str();
  auto* misses = app->add_option("--misses", c->misses, "Misses allowed")->capture_default_str();
  for (const char* option : {"FILE", "--dir", "--plant"}) misses->excludes(app->get_option(option));
  app->add_option("--confidence", c->confidence, "One-sided, 0 to 1")->capture_default_str();
  add_study(app, *c, "");
  for (const char* option : {"--dir", "--plant"})
    app->get_option(option)->needs(app->get_option("--study"));
  app->footer(
      "Examples:\n  lastlook plan proof --rate 0.05 --confidence 0.95\n"
      "  lastlook plan proof study.csv --rate 0.05");
  app->callback([&program, c] { program.exit_code = answer(*c, [&] { return plan_proof(*c); }); });
}

void add_kappa(CLI::App* plan, Program& program, const std::shared_ptr<PlanCommand>& c) {
  CLI::App* app = part(plan, "kappa", "Items for a study of two inspectors", *c,
                       "CSV of a first study, as 'agreement' reads it: kappa and shares are those "
                       "of the two inspectors who agree least");
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
  add_study(app, *c, "; without it, first and second looks of the period");
  app->footer(
      "Examples:\n  lastlook plan kappa --expect 0.85 --against 0.7 --share 0.5\n"
      "  lastlook plan kappa --expect 0.6 --against 0.4 --shares 0.2,0.25,0.55\n"
      "  lastlook plan kappa study.csv --half-width 0.1");
  app->callback(
      [&program, c, app] { program.exit_code = answer(*c, [&] { return plan_kappa(*c, *app); }); });
}

void add_shift(CLI::App* plan, Program& program, const std::shared_ptr<PlanCommand>& c) {
  CLI::App* app = part(plan, "shift", "Units a sample, so that a chart shows a change", *c,
                       "CSV with the columns sample,inspected,nonconforming: the rate as it is");
  auto* rate = app->add_option("--rate", c->usual, "Rate as it is, 0 to 1");
  for (const char* option : {"FILE", "--dir", "--plant"}) rate->excludes(app->get_option(option));
  app->add_option("--worse", c->worse, "Rate to be seen, larger")->required();
  app->add_option("--power", c->power, "Probability that one point shows it")
      ->capture_default_str();
  app->footer(
      "Examples:\n  lastlook plan shift --rate 0.02 --worse 0.06 --power 0.9\n"
      "  lastlook plan shift --dir station --from 2026-11-02 --worse 0.1");
  app->callback(
      [&program, c, app] { program.exit_code = answer(*c, [&] { return plan_shift(*c, *app); }); });
}

}  // namespace

void add_plan(Program& program) {
  CLI::App* plan =
      program.app.add_subcommand("plan", "Says how many units a proof or a study needs");
  plan->require_subcommand(1);
  plan->footer("Example:\n  lastlook plan proof --rate 0.05");
  add_proof(plan, program, std::make_shared<PlanCommand>());
  add_kappa(plan, program, std::make_shared<PlanCommand>());
  add_shift(plan, program, std::make_shared<PlanCommand>());
}

}  // namespace lastlook::commands
