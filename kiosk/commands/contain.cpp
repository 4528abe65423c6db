// SPDX-License-Identifier: Apache-2.0
// lastlook contain: which units to look at again after the camera's proof failed, and where they
// are; or those with parts of a lot (contain_lot.h).
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <map>

#include "kiosk/commands/command.h"
#include "kiosk/commands/contain_lot.h"
#include "kiosk/commands/whereabouts.h"
#include "kiosk/records/challenge_queries.h"

namespace lastlook::commands {
namespace {

using records::ContainedUnit;
using records::Containment;
using records::Reach;

struct ContainCommand {
  StationSource source;
  std::string component, lot, part, doubted;
  Delivery delivery;
};

struct Contained {
  std::vector<Containment> failures;
  std::vector<ContainedUnit> units;
  std::vector<records::Whereabouts> now;  // of the units
};

bool concerns(const std::string& component, const std::vector<std::string>& components) {
  return component.empty() || std::ranges::count(components, component) > 0;
}

Result<Contained> look_up(const ContainCommand& command, records::View view) {
  auto failures = records::containments(view, command.source.period);
  if (!failures) return tl::unexpected(failures.error());
  std::erase_if(*failures, [&](const Containment& one) {
    return !concerns(command.component, one.components);
  });
  Contained all{*std::move(failures), {}, {}};
  all.units = records::contained_units(all.failures);
  if (const Status found = records::find_looks_again(view, all.units); !found)
    return tl::unexpected(found.error());
  for (const ContainedUnit& unit : all.units) {
    auto now = records::where_is(view, unit.look);
    if (!now) return tl::unexpected(now.error());
    all.now.push_back(*std::move(now));
  }
  return all;
}

const char* in_words(Reach reach) {
  switch (reach) {
    case Reach::held_proof:
      return "the last proof that held";
    case Reach::first_opinion:
      return "the model's first opinion there, for no earlier proof is on record";
    case Reach::no_opinion:
      return "nothing: no earlier proof is on record, and the model gave no opinion there before";
  }
  return "";
}

// How many units each value of a kind has.
using Counts = std::map<std::string, std::int64_t>;
Counts count(const Contained& all, const std::function<std::vector<std::string>(std::size_t)>& of) {
  Counts counts;
  for (std::size_t i = 0; i < all.units.size(); ++i)
    for (const std::string& value : of(i)) ++counts[value];
  return counts;
}
std::vector<std::pair<const char*, Counts>> all_counts(const Contained& all) {
  using List = std::vector<std::string>;
  return {{"station", count(all, [&](std::size_t i) { return List{all.units[i].station}; })},
          {"variant", count(all, [&](std::size_t i) { return List{all.units[i].variant}; })},
          {"component", count(all, [&](std::size_t i) { return all.units[i].components; })},
          {"now", count(all, [&](std::size_t i) { return List{all.now[i].state}; })}};
}

std::int64_t looked_at_again(const Contained& all) {
  return std::ranges::count_if(all.units,
                               [](const ContainedUnit& unit) { return unit.again.has_value(); });
}

Json again_json(const ContainedUnit& unit, const LocalTimes& times) {
  if (!unit.again) return nullptr;
  return {{"look", unit.again->look},
          {"station", unit.again->station},
          {"disposition", domain::to_word(unit.again->disposition)},
          {"closed", times.iso(unit.again->station, unit.again->closed_us)}};
}

Json as_json(const Contained& all, const LocalTimes& times) {
  Json failures = Json::array();
  for (const Containment& one : all.failures)
    failures.push_back({{"station", one.station},
                        {"variant", one.variant},
                        {"model", one.model},
                        {"part", one.part},
                        {"components", one.components},
                        {"since", times.iso(one.station, one.since_us)},
                        {"reaches_back_to", in_words(one.reach)},
                        {"until", times.iso(one.station, one.until_us)},
                        {"relied", one.relied.size()},
                        {"others", one.others},
                        {"sample", one.sample.size()}});
  Json units = Json::array();
  for (std::size_t i = 0; i < all.units.size(); ++i) {
    const ContainedUnit& unit = all.units[i];
    units.push_back({{"serial", unit.serial},
                     {"look", unit.look},
                     {"station", unit.station},
                     {"variant", unit.variant},
                     {"components", unit.components},
                     {"accepted", times.iso(unit.station, unit.closed_us)},
                     {"why", unit.relied ? "relied" : "sample"},
                     {"again", again_json(unit, times)},
                     {"now", times.json(all.now[i])}});
  }
  Json out = {{"failed_proofs", std::move(failures)},
              {"units", std::move(units)},
              {"looked_at_again", looked_at_again(all)},
              {"open", static_cast<std::int64_t>(all.units.size()) - looked_at_again(all)}};
  for (const auto& [kind, counts] : all_counts(all)) out[std::string("by_") + kind] = Json(counts);
  return out;
}

Reply as_reply(const Contained& all, const LocalTimes& times) {
  Reply reply("Units to look at again");
  if (all.failures.empty()) {
    reply.add("no proof failed in this period");
    return reply;
  }
  for (const Containment& one : all.failures)
    reply.add(fmt::format(
        "{} failed the proof of {} for {} at {} at {}: reaches back to {}{}; {} units relied on "
        "the opinion, {} of {} others are the sample",
        one.part, one.model, one.variant, one.station, times.minute(one.station, one.until_us),
        in_words(one.reach),
        one.reach == Reach::no_opinion ? "" : ", " + times.minute(one.station, one.since_us),
        one.relied.size(), one.sample.size(), one.others));
  TextTable table("llllllll");
  table.row({"serial", "station", "variant", "components", "accepted", "why", "again", "now"});
  for (std::size_t i = 0; i < all.units.size(); ++i) {
    const ContainedUnit& unit = all.units[i];
    table.row({unit.serial.empty() ? unit.look : unit.serial, unit.station, unit.variant,
               fmt::format("{}", fmt::join(unit.components, ", ")),
               times.minute(unit.station, unit.closed_us), unit.relied ? "relied" : "sample",
               unit.again ? std::string(domain::to_word(unit.again->disposition)) : "to do",
               times.in_words(all.now[i])});
  }
  if (!all.units.empty()) {
    reply.add(std::move(table));
    reply.add(fmt::format("looked at again: {} of {}", looked_at_again(all), all.units.size()));
  }
  for (const auto& [kind, counts] : all_counts(all)) {
    std::vector<std::string> parts;
    for (const auto& [value, n] : counts) parts.push_back(fmt::format("{} {}", value, n));
    if (!parts.empty()) reply.add(fmt::format("by {}: {}", kind, fmt::join(parts, ", ")));
  }
  return reply;
}

int of_lot(const CLI::App& app, const ContainCommand& command) {
  const Status plain =
      check_options(app, false, "no --lot",
                    {"--component", "--from", "--to", "--shift", "--station", "--variant"});
  if (!plain) return report(plain.error());
  LotQuestion question{command.lot, command.part, 0};
  if (!command.doubted.empty()) {
    const auto doubted = domain::moment_of(command.doubted);
    if (!doubted)
      return report(
          {Category::bad_input, fmt::format("--doubted {}: expected a time with its offset, "
                                            "2026-11-25T06:12:03+01:00",
                                            command.doubted)});
    question.doubted_us = *doubted;
  }
  return contain_lot(command.source, question, command.delivery);
}

int contain(const CLI::App& app, ContainCommand& command) {
  if (!command.lot.empty()) return of_lot(app, command);
  const Status plain = check_options(app, false, "--lot", {"--part", "--doubted"});
  if (!plain) return report(plain.error());
  if (const Status s = check_source(command.source); !s) return report(s.error());
  const auto source = open_source(command.source);
  if (!source) return report(source.error());
  const auto all = look_up(command, source->view());
  if (!all) return report(all.error());
  const auto times = LocalTimes::of(*source);
  if (!times) return report(times.error());
  Reply reply = as_reply(*all, *times);
  add_as_of(reply, *source);
  const Status said = deliver(command.delivery, reply, [&] {
    Json json = as_json(*all, *times);
    add_as_of(json, *source);
    return json;
  });
  return said ? done : report(said.error());
}

}  // namespace

void add_contain(Program& program) {
  auto command = std::make_shared<ContainCommand>();
  CLI::App* app = program.app.add_subcommand(
      "contain",
      "Lists the units that a failed proof of the camera, or a lot of parts, puts in doubt");
  add_records_source(app, command->source);
  app->add_option("--component", command->component,
                  "Only failures of the proof at this component");
  app->add_option("--lot", command->lot,
                  "Instead: the units that have a part of this lot inside, and where they are");
  app->add_option("--part", command->part, "With --lot: only parts of this type");
  app->add_option("--doubted", command->doubted,
                  "With --lot: since when the lot is in doubt; looks after it are looks again");
  add_pages(app, command->delivery);
  app->add_flag("--json", command->delivery.json, "Writes JSON");
  app->footer(
      "All units that were accepted with the opinion on the screen since the last proof that "
      "held,\n"
      "and a sample of the others: one in ten, five at the least. Where no earlier proof is on "
      "record,\nsince the model's first opinion at that station on that variant.\n"
      "Example: lastlook contain --plant sqlite:plant.db --from 2026-11-02\n"
      "         lastlook contain --plant sqlite:plant.db --lot L-2291 --pdf units.pdf");
  app->callback([&program, app, command] { program.exit_code = contain(*app, *command); });
}

}  // namespace lastlook::commands
